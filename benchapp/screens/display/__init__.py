"""How large, which colours, which figures and words: what every page is drawn with. No Kivy."""
