"""Damage at seeded places of a file: bits turned over, and runs of zeros as a bad block leaves them."""

import random


def corrupted(content: bytes, rng: random.Random) -> bytes:
    """One bit, a few, or up to 512 bytes of nothing; never the same as before."""
    damaged = bytearray(content)
    while bytes(damaged) == content:
        place = rng.randrange(len(content))
        match rng.randrange(3):
            case 0:
                damaged[place] ^= 1 << rng.randrange(8)
            case 1:
                for place in rng.sample(range(len(content)), 4):
                    damaged[place] ^= 1 << rng.randrange(8)
            case _:
                run = rng.choice([8, 64, 512])
                damaged[place : place + run] = bytes(min(run, len(content) - place))
    return bytes(damaged)
