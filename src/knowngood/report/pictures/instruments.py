"""Small pictures of instruments, drawn by us: lines only, in the colour of the words beside them."""

from knowngood.engine.measurement.meters.classes import PRESETS

OTHER = "other"
_GAUGE = (
    '<circle cx="24" cy="19" r="15"/>'
    '<path d="M20 34v10h8V34M13 25l2-1M12 17l2 1M18 9l1 2M30 9l-1 2M36 17l-2 1M35 25l-2-1"/>'
)
# Each in a square of 48.
DRAWN: dict[str, str] = {
    "multimeter": '<rect x="12" y="3" width="24" height="42" rx="4"/><path d="M16 8h16v9H16zM24 26l4-3"/>'
    '<circle cx="24" cy="26" r="6"/><circle cx="19" cy="39" r="1.5"/><circle cx="29" cy="39" r="1.5"/>',
    "caliper": '<path d="M4 12h40v6H4zM6 18v22l6-10V18M20 9h13v12h-7v9l-6 10zM37 12v3M41 12v3"/>',
    "micrometer": '<path d="M9 15h6v6H9v1a12 12 0 0 0 22 1M5 15h4M5 21h4M5 15v8a15 15 0 0 0 29 2M22 15v6M22 18h8"/>'
    '<path d="M30 14h15v8H30zM35 14v3M40 14v3"/>',
    "feeler": '<circle cx="9" cy="39" r="3"/>'
    '<path d="M7 36 10 7h5l-3 30M11 36 29 10l4 3-22 24M12 38l31-14 2 4-33 14"/>',
    "dial": '<circle cx="24" cy="19" r="14"/>'
    '<path d="M24 19l7-8M24 8v2M35 19h-2M24 30v-2M13 19h2M22 33v6h4v-6M24 39v6M24 2v3"/>',
    "pressure_gauge": f'{_GAUGE}<path d="M24 19l8-7"/>',
    "vacuum_gauge": f'{_GAUGE}<path d="M24 19l-9-5M19 26h10"/>',
    "infrared": '<path d="M14 8h18v10H22l-3 22h-9l3-22zM22 18v6h-1"/><path d="M35 13h10" stroke-dasharray="2 3"/>',
    "contact": '<path d="M5 43 27 21M25 15l8 8M27 17l8-8 4 4-8 8M39 9c6-6 6 3 4 8"/>',
    "vessel": '<path d="M8 8h24l-3 34H11zM31 14c12-2 12 16-1 16M13 18h7M14 25h5M14 32h7"/>',
    "scale": '<path d="M8 34h32v8H8zM24 34V24M6 24h36"/><path d="M12 24c0-12 24-12 24 0M24 24l5-8"/>',
    "inclinometer": '<rect x="6" y="8" width="36" height="32" rx="3"/>'
    '<path d="M12 32a12 12 0 0 1 24 0zM24 32l4-10M12 20l2 2M24 15v3M36 20l-2 2"/>',
    "level": '<rect x="3" y="17" width="42" height="14" rx="2"/><rect x="15" y="20" width="18" height="8" rx="4"/>'
    '<path d="M21 20v8M27 20v8"/><circle cx="24" cy="24" r="2"/>',
    "water_tube": '<path d="M8 6v26a8 8 0 0 0 8 8h16a8 8 0 0 0 8-8V6'
    'M14 6v26a2 2 0 0 0 2 2h16a2 2 0 0 0 2-2V6M8 16h6M34 16h6"/>'
    '<path d="M17 16h14" stroke-dasharray="2 3"/>',
    "hydrometer": '<path d="M12 8v36h24V8M12 20h9M27 20h9M22 4h4v20a7 7 0 1 1-4 0zM22 10h2M22 15h2"/>',
    "tread": '<path d="M4 34h12v8h6v-8h4v8h6v-8h12M12 28h24v-6H12zM24 28v13M20 22V6h8v16M20 11h4M20 16h4"/>',
    OTHER: '<path d="M10 4h20l8 8v32H10zM30 4v8h8M16 20h16M16 27h16M16 34h10"/>',
}


def instrument_picture(key: str) -> str:
    """Return the picture of a kind of instrument as one `svg` element that says nothing to a screen reader.

    Args:
        key: A key of PRESETS, or "other".

    Example:
        >>> instrument_picture("level")[:52]
        '<svg class="instrument" viewBox="0 0 48 48" width="4'
    """
    preset = PRESETS.get(key)
    drawn = DRAWN[(preset.picture or key) if preset else key]
    return (
        '<svg class="instrument" viewBox="0 0 48 48" width="48" height="48" fill="none" stroke="currentColor" '
        'stroke-width="2" stroke-linejoin="round" stroke-linecap="round" aria-hidden="true" focusable="false">'
        f"{drawn}</svg>"
    )
