"""What is seen: `view.py` says what, the widgets draw it. An edge."""
