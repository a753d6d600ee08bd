"""What every page is built from: text, buttons, keypads, pages that are turned, the bar that is held to confirm."""
