"""How long a test waits for what must come. Only what hangs takes longer, however slow the machine is."""

LONGEST_S = 180.0
LONGEST_MS = 1000.0 * LONGEST_S
