"""Holds the list of check words against what it promises; it knows nothing of how digests choose from it.

Prints `N passed, 0 failed` and exits with 1 on any failure.
"""

import pathlib
import re
import sys

LIST = pathlib.Path(__file__).resolve().parents[2] / "src/packet/words.txt"

# What a reader could take for an order, a hazard, or a word of the job itself.
NEVER = """
acid alarm bench bolt burn card caution caustic close danger dead down drain fault fire fit flame foam gas gasket guard
hazard heat hold hot kill label leak left lift lock loosen machine mark motor nut off oil open order page part point
poison press proof pull pump push record right run screw seal see shaft shut stage start steam step stop switch table
tag tank test tight torque turn unlock unsafe up vacuum valve warning water wrench
""".split()


def main():
    text = LIST.read_text(encoding="ascii")
    words = text.splitlines()
    known = set(words)
    checks = {
        "1,024 words": len(words) == 1024,
        "all distinct": len(known) == len(words),
        "sorted": words == sorted(words),
        "one a line, a line feed at the end": text == "\n".join(words) + "\n",
        "three to six small letters": all(re.fullmatch("[a-z]{3,6}", word) for word in words),
        "the first four letters tell words apart": len({word[:4] for word in words}) == len(words),
        "no short word begins another": not any(
            other != word and other.startswith(word) for word in words if len(word) == 3 for other in words
        ),
        "no order, hazard or word of the job": not known & set(NEVER),
    }
    failed = [name for name, good in checks.items() if not good]
    for name in failed:
        print(f"not so: {name}", file=sys.stderr)
    print(f"{len(checks) - len(failed)} passed, {len(failed)} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
