"""Run sheet, book and hand-over as PDF."""
