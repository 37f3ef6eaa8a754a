"""Fuzzing guided by coverage: bytes that reach new lines of the readers are changed further. Run by hand:

    python -m tests.fuzz.coverage_guided job -max_total_time=120

Wants the extra ``fuzz`` (atheris). What stands after the kind of file goes to libFuzzer as it is; the seeds lie in
``tests/fuzz/seeds``. The first exception other than BadInput stops it, with a traceback and the input.
"""

import os
import sys
import tempfile
from pathlib import Path

import atheris

HERE = Path(__file__).parent
os.environ["ROUGHING_NO_CACHE"] = "1"

with atheris.instrument_imports(include=["advisor.files", "advisor.readers", "advisor.knowledge", "yaml"]):
    from advisor.files.problems import BadInput, Problem
    from advisor.files.yaml_reader import read_yaml
    from advisor.knowledge.house import house_base
    from advisor.knowledge.shipped import rule_base
    from advisor.readers.crib import read_crib
    from advisor.readers.job import read_job
    from advisor.readers.plan import read_plan
    from advisor.readers.plan_line import plan_said
    from advisor.readers.shop import read_shop

BASE = rule_base()
NAMES = {
    "yaml": "any.yaml", "job": "job.yaml", "shop": "shop.yaml", "crib": "crib.csv", "house": "house.yaml",
    "plan": "plan.yaml", "table": "plan.csv", "line": "line.txt",
}  # fmt: skip


def read(kind: str, path: Path) -> None:
    """Read a file as what it is said to be. Raises BadInput, or what is a finding."""
    problems: list[Problem] = []
    if kind == "yaml":
        read_yaml(path)
    elif kind == "job":
        read_job(read_yaml(path), problems)
    elif kind == "shop":
        read_shop(path, problems)
    elif kind == "crib":
        read_crib(path)
    elif kind == "house":
        house_base(BASE, path.parent)
    elif kind == "line":
        plan_said([path.read_text(encoding="utf-8", errors="replace")], ["T02", "E10", "D13", "F63"], "mm")
    else:
        read_plan(path)
    if problems:
        raise BadInput(problems)


def main() -> None:
    """Fuzz the reader of a kind of file until a finding or the end that libFuzzer was given."""
    if len(sys.argv) < 2 or sys.argv[1] not in NAMES:
        sys.exit(f"{__doc__}\nWanted first: one of {', '.join(NAMES)}")
    kind = sys.argv.pop(1)
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / NAMES[kind]

        def one(data: bytes) -> None:
            path.write_bytes(data)
            try:
                read(kind, path)
            except BadInput as error:
                told = [str(problem) for problem in error.problems]
                if not all(line.isprintable() for line in told):
                    raise AssertionError("a refusal that can drive a terminal") from None

        grown = Path(place) / "grown"
        grown.mkdir()
        limits = ["-timeout=2", "-rss_limit_mb=1000", f"-artifact_prefix={place}/", "-max_len=4096"]
        atheris.Setup([*sys.argv, *limits, str(grown), str(HERE / "seeds" / kind)], one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
