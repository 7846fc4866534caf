"""Inputs made from others without guidance, for where the coverage-guided fuzzer is not there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random


def mutations(dice: Random, corpus: Sequence[bytes], words: Sequence[str]) -> Iterator[bytes]:
    """Endless inputs: spans of known ones cut, doubled, exchanged and sprinkled with words."""
    spelled = [word.encode("utf-8", "surrogateescape") for word in words]
    while True:
        data = bytearray(dice.choice(corpus))
        for _ in range(dice.randrange(1, 7)):
            start = dice.randrange(len(data) + 1)
            end = min(len(data), start + dice.randrange(12))
            kind = dice.randrange(6)
            if kind == 0:
                del data[start:end]
            elif kind == 1:
                data[start:start] = data[start:end] * dice.randrange(1, 4)
            elif kind == 2:
                data[start:start] = dice.choice((b"", b" ")) + dice.choice(spelled) + b" "
            elif kind == 3:
                data[start:end] = dice.randbytes(dice.randrange(4))
            elif kind == 4:
                other = dice.choice(corpus)
                cut = dice.randrange(len(other) + 1)
                data[start:end] = other[cut : cut + dice.randrange(20)]
            elif start < len(data):
                data[start] ^= 1 << dice.randrange(8)
        yield bytes(data[:4096])
