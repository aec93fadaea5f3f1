"""Which metal a part can still be: shop tests, their answers, and what is left."""
