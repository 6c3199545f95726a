"""Pictures, words for the terminal, and paper: how what is known is shown."""
