"""A maker's own recipes: materials, drafts, a proposed method, sheets in and out. The text of a procedure is the truth."""
