"""The long form of the planted-fault suite: run with `python -m benchmarks.faults [families] [seeds]`; prints a table."""

from __future__ import annotations

import sys

from tests.critique.faults import FAMILIES, FAULTS, SIZES, false_findings, score


def main(families: tuple[str, ...], seeds: range) -> None:
    """Every fault alone at three multiples of its limit, then drawings without a fault."""
    print(f"fonts: {', '.join(families)}; {len(seeds)} drawings of each word")
    print("| check | " + " | ".join(f"found / named at {s:g} x limit" for s in SIZES) + " | of |")
    print("|---|" + "---|" * (len(SIZES) + 1))
    for fault in FAULTS:
        scores = [score(fault, s, families, seeds) for s in SIZES]
        shares = " | ".join(f"{s.found / s.tried:.2f} / {s.named / s.tried:.2f}" for s in scores)
        print(f"| {fault.check} | {shares} | {scores[0].tried} |", flush=True)
    drawings, found = false_findings(families, seeds)
    print(
        f"\n{drawings} drawings without a fault: {sum(found.values()) / drawings:.2f} findings to look at again or fix each {found}"
    )


if __name__ == "__main__":
    chosen = tuple(sys.argv[1].split(",")) if len(sys.argv) > 1 else FAMILIES
    main(chosen, range(1, 1 + (int(sys.argv[2]) if len(sys.argv) > 2 else 3)))
