"""The pages: each a function from what stands to plain data for its template."""
