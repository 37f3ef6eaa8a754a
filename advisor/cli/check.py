"""``roughing rules check``: whether the rule base holds together, and what is proved of it."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from advisor.cli.asking import HouseFolder, base_of, path_of, shipped
from advisor.cli.guard import BAD_INPUT, guarded
from advisor.cli.output import Format, first_problem, remark, show, show_json, write
from advisor.cli.progress import Watch, at_work

if TYPE_CHECKING:
    from advisor.analysis.house_check import Checked
    from advisor.knowledge.schema import RuleBase
    from advisor.model.assignment import Assignment
    from advisor.proof.prove import Proof

EXAMPLE = "Example: roughing rules check --no-proof"
MISSING = "proofs not run: z3-solver is not installed; pip install 'roughing-advisor[proof]' brings it"


@guarded
def command(
    jobs: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="[JOB…]",
            parser=path_of,
            help="Jobs, or folders of them, to try the house rules on, in place of the shipped cases.",
            show_default=False,
        ),
    ] = None,
    house: HouseFolder = None,
    form: Annotated[Format, typer.Option("--format", help="Output format.")] = Format.text,
    proof: Annotated[
        bool,
        typer.Option("--proof/--no-proof", help="Also run the proofs. They take time, and say how much."),
    ] = True,
    witness: Annotated[
        Path | None,
        typer.Option(
            "--witness", metavar="DIR", parser=path_of, help="Write the job that shows each finding to this folder."
        ),
    ] = None,
) -> int:
    """Check the rule base: every file is read, every rule's examples are run, and it is proved that every rule can
    fire, that none contradicts or repeats another, and that thresholds are in order. Exit code 2 if there is a fault.

    With --house: the shop's own rules, what they change in the shipped cases, and what is proved of them. What a moved
    threshold does to shipped rules is listed, and is no fault. With jobs: on which of their features each rule fires,
    what it changes there, and how near one comes that never does.
    """
    if witness is not None and not proof:
        raise first_problem("rules check", "--witness", str(witness), "the proof, which alone finds jobs to write")
    if house is None:
        if jobs:
            raise first_problem("rules check", "--house", "nothing", "the house rules to try on the jobs")
        return _check_shipped(form, proof, witness)
    return _check_house(shipped(house), _assignments(jobs, house) if jobs else None, form, proof, witness)


def _assignments(named: list[Path], house: Path) -> "list[tuple[str, Assignment]]":
    """The jobs that are named, and those in the folders that are named, each with these house rules.

    Raises:
        BadInput: a file is not as it must be; the faults of all the files and of the house rules.
    """
    from advisor.cli.job_files import job_files
    from advisor.files.problems import BadInput, printable
    from advisor.readers.assignment import read_assignment
    from advisor.situation.bench import with_house_notes

    found = job_files([shipped(path) for path in named])
    problems, sample = list(found.problems), ""
    read: list[tuple[str, Assignment]] = []
    try:
        base_of(house)
    except BadInput as error:
        problems, sample = [*error.problems, *problems], error.sample
    for file in found.files:
        try:
            read.append((str(file), read_assignment(file).model_copy(update={"house": shipped(house)})))
        except BadInput as error:
            problems += error.problems
    if problems:
        raise BadInput(dict.fromkeys(problems), sample)
    read = [(name, with_house_notes(assignment)) for name, assignment in read]
    notes = dict.fromkeys(note for _, assignment in read for note in assignment.notes)
    remark(*(printable(f"note: {note}") for note in (*found.notes, *notes)))
    return read


def _check_shipped(form: Format, proof: bool, witness: Path | None) -> int:
    from advisor.knowledge.check import check
    from advisor.knowledge.shipped import rule_base
    from advisor.text.rulebook import counts

    base = rule_base()
    problems = check(base)
    remark(*(str(problem) for problem in problems))
    told = f"{counts(base)} {f'{len(problems)} faults.' if problems else 'All examples hold.'}"
    proved = _proved(base, None, witness) if proof and not problems else None
    if form is Format.json:
        show_json({"counts": told, "faults": [str(problem) for problem in problems], **_record(proved)})
    else:
        write(f"{told}\n")
        _show(proved, form, witness)
    return BAD_INPUT if problems or (proved and proved.findings) else 0


def _check_house(
    folder: Path, jobs: "list[tuple[str, Assignment]] | None", form: Format, proof: bool, witness: Path | None
) -> int:
    from advisor.analysis.house_check import checked_house
    from advisor.render.house_record import house_record
    from advisor.text.house_check import house_blocks

    with at_work("working out the cases" if jobs is None else "working out the jobs"):
        found: Checked = checked_house(folder, jobs)
    remark(*(f"warning: {problem}" for problem in found.warnings), *map(str, found.faults))
    proved = _proved(found.base, folder, witness) if proof and not found.faults else None
    if form is Format.json:
        show_json(house_record(found) | _record(proved))
    else:
        show(house_blocks(found), form)
        _show(proved, form, witness)
    # What a moved threshold does to shipped rules is told and allowed, like a warning; the house's rules must be sound.
    own = {rule.id for rule in found.base.rules if rule.house}
    wrong = any(own & set(one.names) for one in proved.findings) if proved else False
    return BAD_INPUT if found.faults or wrong else 0


def _proved(base: "RuleBase", house: Path | None, witness: Path | None) -> "Proof | None":
    """What is proved of a rule base; nothing, and a remark, where the solver is not installed."""
    from importlib.util import find_spec

    if find_spec("z3") is None:
        remark(MISSING)
        return None
    from advisor.knowledge.origin import of_house
    from advisor.proof.prove import prove
    from advisor.situation.bench import inference_of

    rules = sum(of_house(rule, base) for rule in base.rules) if house else len(base.rules)
    with Watch(rules).shown() as tell:
        found = prove(base, house=house is not None, real=inference_of(house), tell=tell)
    if witness is not None:
        from advisor.files.problems import printable
        from advisor.text.proof import write_witnesses

        remark(printable(f"{write_witnesses(found, witness)} jobs written to {witness}"))
    return found


def _show(proved: "Proof | None", form: Format, witness: Path | None) -> None:
    if proved is not None:
        from advisor.text.proof import proof_blocks

        show(proof_blocks(proved, witness), form)


def _record(proved: "Proof | None") -> dict[str, Any]:
    if proved is None:
        return {}
    from advisor.render.proof_record import proof_record

    return {"proof": proof_record(proved)}
