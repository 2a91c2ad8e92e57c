"""The demo book: an invented vineyard, and the generator that writes it."""
