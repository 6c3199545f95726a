"""The job sheet: model, reader with line numbers, writer, and the library of generic sheets."""
