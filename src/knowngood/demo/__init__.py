"""The demo: a scenario of our own, with an invented make."""
