"""The report: one page of HTML about a reviewed recording, or about several; see `page.py`."""
