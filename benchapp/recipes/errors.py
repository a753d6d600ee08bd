"""What keeps a recipe from being written, each as one sentence for the maker.

RecipeError
├── NoSuchRecipe      no draft or material of that name
├── ChangeRefused     a change that would not mean what it says, or a value that cannot be meant
├── ChangedMeanwhile  the file was changed by hand in the same place as on the glass
└── SheetUnreadable   a spreadsheet that cannot be read, or in which no formula can be found
"""

from __future__ import annotations


class RecipeError(Exception):
    """Anything that keeps a recipe from being written. Its text is one sentence."""


class NoSuchRecipe(RecipeError):
    """There is no draft or material of that name."""


class ChangeRefused(RecipeError):
    """A change that would not mean what it says, or a value that cannot be meant."""


class ChangedMeanwhile(RecipeError):
    """The file was changed by hand where the draft was changed, too."""


class SheetUnreadable(RecipeError):
    """A spreadsheet that cannot be read, or in which no formula can be found."""
