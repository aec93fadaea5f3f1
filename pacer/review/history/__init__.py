"""Many sessions side by side: what each came to, and what goes together with a crack."""
