"""How a job and its vehicle stand."""
