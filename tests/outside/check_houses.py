#!/usr/bin/env python3
"""Asks questions over many houses of an engine that is not ours, and of the figures in plain Python; they must agree.

    python3 tests/outside/check_houses.py path/to/needline [COUNT] [FORMAT,...]

Needs duckdb, and pyspark where SPARK=1. COUNT houses are made (60 where it is not given), one more that cannot be read.
FORMAT is csv, parquet or both. The question: what is to be ordered within a week, over all houses, by supplier.
"""

import collections
import datetime
import decimal
import json
import os
import pathlib
import resource
import subprocess
import sys
import tempfile
import time

import duckdb

HERE = pathlib.Path(__file__).resolve().parent
QUESTION = """
    select supplier_name, count(*), sum(total), min(order_by), max(order_by)
    from parts join houses using (house)
    where live and ordered_on is null and not on_site and order_by <= as_of + {week}
    group by supplier_name
"""
SPARK_QUESTION = QUESTION.replace("as_of + {week}", "date_add(as_of, 6)")


def ran(command, expected):
    """Runs the program; how long it took, and the most memory it held, in MB."""
    begun = time.monotonic()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    out, err = process.communicate()
    if process.returncode != expected:
        sys.exit(f"{command} ended with {process.returncode}: {err[:2000]}")
    held = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024
    return out, err, time.monotonic() - begun, held


def in_plain_python(lines, names):
    """The same from the figures, line by line. `names` are suppliers by house and key, `ordered` parts that are ordered."""
    due = collections.defaultdict(list)
    for line in lines:
        house = json.loads(line)
        until = str(datetime.date.fromisoformat(house["as_of"]) + datetime.timedelta(days=6))
        placed = {part for order in house["orders"] if order["placed"] for part in order["parts"] + order["cancelled"]}
        for part in house["parts"]:
            if part["live"] and part["key"] not in placed and not part["on_site"] and (part["order_by"] or "9") <= until:
                name = names.get((house["house"], part["supplier"]))
                due[name].append((decimal.Decimal(part["total"]) if part["total"] else None, part["order_by"]))
    answer = {}
    for name, parts in due.items():
        totals = [total for total, _ in parts if total is not None]
        days = [day for _, day in parts]
        answer[name] = (len(parts), sum(totals) if totals else None, min(days), max(days))
    return answer


def suppliers(folder):
    """Names by house and key, read from the project files themselves."""
    import re
    supplier = re.compile(r'suppliers: \[\n(.*?)\n    \],', re.S)
    one = re.compile(r'key: "([^"]*)",\n\s*name: "([^"]*)"')
    names = {}
    for path in folder.rglob("*.ron"):
        found = supplier.search(path.read_text(encoding="utf-8"))
        for key, name in one.findall(found[1] if found else ""):
            names[str(path), key] = name
    return names


def as_answer(rows):
    return {name: (count, None if total is None else decimal.Decimal(total), str(first), str(last))
            for name, count, total, first, last in rows}


def main():
    program = pathlib.Path(sys.argv[1]).resolve()
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    forms = sys.argv[3].split(",") if len(sys.argv) > 3 else ["csv"]
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        houses, out = folder / "houses", folder / "tables"
        subprocess.run([sys.executable, HERE / "make_houses.py", houses, str(count)], check=True)
        names = suppliers(houses)
        broken = houses / "000" / "broken.ron"
        broken.write_text("(schema: 1, project: (")

        told, err, seconds, held = ran([program, "figures", houses], 1)
        lines = told.splitlines()
        if len(lines) != count or f"{broken}: line 1" not in err:
            sys.exit(f"{len(lines)} lines of {count} houses; {err[:500]}")
        print(f"figures: {count} houses in {seconds:.1f} s, {len(told) / 1e6:.0f} MB of JSON, {held} MB of memory")
        expected = in_plain_python(lines, names)

        command = [program, "table", houses, "--out", out, "--format", ",".join(forms)]
        _, _, seconds, held = ran(command, 1)
        size = sum(path.stat().st_size for path in out.iterdir()) / 1e6
        print(f"table: {count} houses in {seconds:.1f} s, {size:.1f} MB of {' and '.join(forms)}, {held} MB of memory")

        for form in forms:
            begun = time.monotonic()
            base = duckdb.connect()
            for table in ("houses", "phases", "parts", "weeks"):
                path = out / f"{table}.{form}"
                # Amounts in CSV are read as numbers with decimals of their own, and never as floats.
                source = f"read_parquet('{path}')" if form == "parquet" else (
                    f"read_csv('{path}', header = true, types = {{'total': 'DECIMAL(18, 4)', 'ordered_on': 'DATE', "
                    f"'order_by': 'DATE'}})" if table == "parts" else f"read_csv('{path}', header = true)")
                base.execute(f"create view {table} as select * from {source}")
            answer = as_answer(base.execute(QUESTION.format(week="6")).fetchall())
            if answer != expected:
                wrong = {name for name in answer.keys() | expected.keys() if answer.get(name) != expected.get(name)}
                sys.exit(f"{form}: {[(name, answer.get(name), expected.get(name)) for name in sorted(map(str, wrong))][:3]}")
            rows = base.execute("select (select count(*) from parts), (select count(*) from phases), "
                                "(select count(*) from weeks)").fetchone()
            print(f"duckdb over {form}: {len(answer)} suppliers, {sum(n for n, *_ in answer.values())} parts to order, "
                  f"as in plain Python; {rows[0]} parts, {rows[1]} phases, {rows[2]} lines of weeks; "
                  f"{time.monotonic() - begun:.2f} s")
        if os.environ.get("SPARK") == "1" and "parquet" in forms:
            from pyspark.sql import SparkSession
            spark = SparkSession.builder.master("local[2]").config("spark.ui.enabled", "false").getOrCreate()
            spark.sparkContext.setLogLevel("ERROR")
            begun = time.monotonic()
            for table in ("houses", "parts"):
                spark.read.parquet(str(out / f"{table}.parquet")).createOrReplaceTempView(table)
            answer = as_answer(spark.sql(SPARK_QUESTION).collect())
            if answer != expected:
                sys.exit(f"spark answers otherwise: {list(answer.items())[:2]} and {list(expected.items())[:2]}")
            print(f"spark over parquet: the same; {time.monotonic() - begun:.1f} s")
        for name, (parts, total, first, _) in sorted(expected.items(), key=lambda one: -one[1][0])[:3]:
            print(f"  {name}: {parts} parts, {total:,}, the first by {first}")


if __name__ == "__main__":
    main()
