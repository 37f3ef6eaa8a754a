"""The whole assignment: job, material, machine and crib, read from their files and checked against each other."""

from collections.abc import Callable
from functools import cache
from pathlib import Path

from advisor.files.cache import kept
from advisor.files.checking import problem_at, raise_if_any
from advisor.files.ids import id_meant
from advisor.files.problems import BadInput, Fault, Misfit, Problem, listed, nearest_word
from advisor.files.yaml_reader import Document, parse_yaml, read_yaml
from advisor.knowledge.assumptions import assumptions_file
from advisor.knowledge.trade_words import words_file
from advisor.model.assignment import Assignment
from advisor.model.job import Job, JobHead
from advisor.model.machine import Machine
from advisor.model.material import Material
from advisor.paths import default_shop, is_case, shared_dir
from advisor.readers.crib import CribFile, read_crib
from advisor.readers.job import read_job
from advisor.readers.materials import load_materials
from advisor.readers.shop import Shop, read_shop

DEMO_NOTE = "no shop given: using the demo shop"
DEFAULT_NOTE = "no shop given: using your default shop, {path}"

OwnShop = Callable[[], Path | None]


def read_assignment(job_path: Path, shop_path: Path | None = None, own_shop: OwnShop = default_shop) -> Assignment:
    """Return the assignment of a job file.

    The shop is `shop_path`, else the one that the job names (from the job's folder), else the one that `own_shop`
    gives, the user's default shop, else the demo shop; of the last two a note tells. A worked case that names none
    means the demo shop. Raises BadInput with the problems of all the files together.
    """
    problems: list[Problem] = []
    return _assignment(job_path, _document(job_path, problems), shop_path, own_shop, problems)


def parse_assignment(
    text: str, folder: Path = Path(), shop_path: Path | None = None, own_shop: OwnShop = default_shop
) -> Assignment:
    """Return the assignment of a job given as YAML text; the shop that it names is looked for from `folder`.

    For the rest as `read_assignment`. Raises BadInput with the problems of the text and of the files together.
    """
    problems: list[Problem] = []
    path = folder / "job"
    try:
        document: Document | None = parse_yaml(text, "job")
    except BadInput as error:
        problems.extend(error.problems)
        document = None
    found = _assignment(path, document, shop_path, own_shop, problems)
    return found.model_copy(update={"files": found.files[1:]})


def _assignment(
    job_path: Path,
    document: Document | None,
    shop_path: Path | None,
    own_shop: OwnShop,
    problems: list[Problem],
) -> Assignment:
    marks: list[str] = []
    job = read_job(document, problems, marks) if document else None
    shop, note = _shop(job_path, job, shop_path, own_shop, problems)
    crib = _crib(shop, job, problems)
    notes = ([note] if note else []) + marks + list(crib.notes if crib else ())
    material = _material(document, job, notes, problems) if document and job else None
    machine = _machine(document, job, shop, notes, problems) if document and job and shop else None
    raise_if_any(problems)
    if not isinstance(job, Job) or material is None or machine is None or crib is None or shop is None:
        raise AssertionError("a part of the assignment is missing, yet no problem was found")
    return Assignment(
        job=job,
        material=material,
        machine=machine,
        crib=crib.cutters,
        notes=tuple(notes),
        demo_shop=note == DEMO_NOTE,
        house=shop.house,
        files=(job_path, Path(shop.document.name), *([shop.crib] if shop.crib else [])),
    )


def _document(path: Path, problems: list[Problem]) -> Document | None:
    try:
        return read_yaml(path)
    except BadInput as error:
        problems.extend(error.problems)
        return None


def _shop(
    job_path: Path, job: JobHead | None, shop_path: Path | None, own_shop: OwnShop, problems: list[Problem]
) -> tuple[Shop | None, str | None]:
    """Return the shop, and a note where nobody named it. Without a readable job nobody knows which shop it means."""
    if shop_path is not None:
        return read_shop(shop_path, problems), None
    if job is None:
        return None, None
    if job.shop is not None:
        return read_shop(job_path.parent / job.shop, problems), None
    own = None if is_case(job_path) else own_shop()
    if own is not None:
        return read_shop(own, problems), DEFAULT_NOTE.format(path=own)
    return demo_shop(), DEMO_NOTE


@cache
def demo_shop() -> Shop:
    """Return the shop of our own tables, from a checked copy where there is one. Raises BadInput if it is damaged."""
    path = shared_dir() / "shop.yaml"

    def read() -> Shop:
        problems: list[Problem] = []
        shop = read_shop(path, problems)
        raise_if_any(problems)
        if shop is None:
            raise AssertionError("no demo shop, yet no problem was found")
        return shop

    return kept(Shop, _with_tables(path), read)


@cache
def demo_crib() -> CribFile:
    """Return the crib of our own tables, from a checked copy where there is one. Raises BadInput if it is damaged."""
    path = _demo_crib_file()
    return kept(CribFile, _with_tables(path), lambda: read_crib(path))


def _demo_crib_file() -> Path:
    return shared_dir() / "crib.csv"


def _with_tables(path: Path) -> list[Path]:
    """A file of a shop, and the tables of ours that decide how such a file is read."""
    return [path, words_file(), assumptions_file()]


def _crib(shop: Shop | None, job: JobHead | None, problems: list[Problem]) -> CribFile | None:
    if shop is None or shop.crib is None:
        return None
    inches = shop.units == "inch" and job is not None and job.units == "inch"
    try:
        return demo_crib() if shop.crib == _demo_crib_file() else read_crib(shop.crib, "inch" if inches else "mm")
    except BadInput as error:
        problems.extend(error.problems)
        return None


def _material(document: Document, job: JobHead, notes: list[str], problems: list[Problem]) -> Material | None:
    from advisor.readers.material_meant import meant

    found = meant(job.material_text, load_materials())
    if found.fault is not None:
        problems.append(problem_at(document, ("material",), found.fault))
    elif found.note:
        notes.append(found.note)
    return found.material


def _machine(document: Document, job: JobHead, shop: Shop, notes: list[str], problems: list[Problem]) -> Machine | None:
    names = shop.names
    if job.machine is None and len(names) == len(shop.machines) == 1:
        notes.append(f"no machine given: using {names[0]}, the only one of the shop")
        return shop.machines[0]
    try:
        asked = job.machine and id_meant(job.machine, names)
    except Misfit as error:
        problems.append(problem_at(document, ("machine",), error.faults[0]))
        return None
    for machine in shop.machines:
        if machine.name == asked:
            return machine
    if names and asked is None:
        found = repr(job.machine) if job.machine else "nothing"
        nearest = nearest_word(job.machine, names) if job.machine else None
        fault = Fault(f"a machine of {shop.document.name}: {listed(names)}", found, None, nearest)
        problems.append(problem_at(document, ("machine",), fault))
    return None
