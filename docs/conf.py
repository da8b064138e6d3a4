"""How the pages of this folder become a site: ``make docs``."""

from __future__ import annotations

from tarebook.core.version import VERSION

project = "Tarebook"
version = release = VERSION
language = "en"

extensions = ["myst_parser"]
exclude_patterns = ["licenses/*.txt"]
# Headings are what other pages lead to.
myst_heading_anchors = 4
nitpicky = True
# Two hyphens begin an option.
smartquotes = False

html_theme = "furo"
html_title = f"Tarebook {VERSION}"
html_copy_source = False
html_show_copyright = False
html_show_sphinx = False
# A page that is opened from the disk may not fetch the others to quote from them.
html_show_search_summary = False
html_theme_options = {"top_of_page_buttons": []}
