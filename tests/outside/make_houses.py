#!/usr/bin/env python3
"""Makes many projects out of the samples, for questions over many houses.

    python3 tests/outside/make_houses.py FOLDER [COUNT]

Each is a sample with all its days moved by some weeks, its prices changed by some percent and a name of its own. Seventy
of a hundred are the bath, twenty the rooms with open walls, ten the whole house. The same COUNT makes the same projects.
A thousand stand in a folder.
"""

import datetime
import pathlib
import random
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLES = {"hall_bath": 70, "walls_open": 20, "orchard_house": 10}
# What a project file is made of that is changed: days, prices of one unit, the name.
CHANGED = re.compile(r'"(\d{4}-\d{2}-\d{2})"|(unit_price: ")([0-9.]+)(")')


def made(text, number, chance):
    weeks = datetime.timedelta(weeks=chance.randrange(0, 52))
    percent = chance.randrange(80, 131)

    def change(found):
        if found[1]:
            return f'"{datetime.date.fromisoformat(found[1]) + weeks}"'
        cents = int(round(float(found[3]) * percent))
        return f"{found[2]}{cents // 100}.{cents % 100:02}{found[4]}"

    text = CHANGED.sub(change, text)
    return re.sub(r'(settings: \(\n\s*name: ")([^"]*)', rf"\g<1>\g<2> {number}", text, count=1)


def main():
    folder, count = pathlib.Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 100
    texts = {name: (ROOT / "sample_projects" / f"{name}.ron").read_text(encoding="utf-8") for name in SAMPLES}
    chance = random.Random(count)
    names = chance.choices(list(SAMPLES), list(SAMPLES.values()), k=count)
    for number, name in enumerate(names):
        place = folder / f"{number // 1000:03}"
        place.mkdir(parents=True, exist_ok=True)
        (place / f"house_{number:05}.ron").write_text(made(texts[name], number, chance), encoding="utf-8")


if __name__ == "__main__":
    main()
