"""What is seen, one subject a module: text and numbers only, nothing drawn here."""
