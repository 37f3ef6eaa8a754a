"""``roughing words TERM``: a word of the trade in two sentences, with its number in a feature of one's own."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.asking import HouseFolder, ShopFile, assignment_of, feature_meant, path_of
from advisor.cli.guard import guarded
from advisor.cli.output import Format, first_problem, show, show_json
from advisor.files.unit_scales import OURS, showing
from advisor.files.units import Units

if TYPE_CHECKING:
    from advisor.knowledge.glossary import Term
    from advisor.knowledge.schema import RuleBase
    from advisor.model.answer import FeatureAdvice

EXAMPLE = "Example: roughing words width ratio --job cases/guide-slot-narrow/job.yaml --feature S1"
DESCRIBED = "a word of the glossary, as roughing words lists them"


@guarded
def command(
    term: Annotated[
        list[str] | None,
        typer.Argument(metavar="[TERM]", help="A word of the trade; without one, all are listed.", show_default=False),
    ] = None,
    job: Annotated[
        Path | None, typer.Option("--job", metavar="JOB", parser=path_of, help="A job with a feature of your own.")
    ] = None,
    feature: Annotated[
        str | None, typer.Option("--feature", metavar="ID", help="The feature whose number is shown.")
    ] = None,
    shop: ShopFile = None,
    house: HouseFolder = None,
    form: Annotated[Format, typer.Option("--format", help="Output format.")] = Format.text,
) -> int:
    """Explain a word of the trade in two sentences; with --job and --feature, show its number there."""
    from advisor.knowledge.glossary import glossary
    from advisor.knowledge.shipped import rule_base
    from advisor.render.word_record import word_record
    from advisor.text.glossary import here, list_blocks, word_blocks

    found = _looked_up(" ".join(term)) if term else None
    for name, given in (("--shop", shop), ("--house", house)):
        if job is None and given is not None:
            raise first_problem("words", name, str(given), "a job beside it (--job)")
    if job is None and feature is None:
        base, number, units = rule_base(), None, OURS
    elif found is None:
        raise first_problem("words", "TERM", "nothing", f"with --job and --feature, {DESCRIBED}")
    else:
        base, answer, units = _in_feature(job, feature, shop, house)
        with showing(OURS if form is Format.json else units):
            number = here(found, answer, base)
    if found is not None:
        if form is Format.json:
            show_json(word_record(found, base, number))
        else:
            with showing(units):
                show(tuple(word_blocks(found, base, number)), form)
    elif form is Format.json:
        show_json([word_record(item, base) for item in glossary().terms.values()])
    else:
        show(list_blocks(base), form)
    return 0


def _looked_up(word: str) -> "Term":
    from advisor.files.problems import BadInput, Problem, listed
    from advisor.knowledge.glossary import glossary, looked_up
    from advisor.knowledge.trade_words import trade_words

    found = looked_up(word, glossary())
    if len(found) > 1:
        several = f"{word!r}, which has several meanings"
        raise BadInput([Problem("words", None, "TERM", several, listed(term.name for term in found))])
    if not found:
        forms = [form for term in glossary().terms.values() for form in term.forms]
        forms += [word for section in trade_words().sections.values() for word in section.known]
        raise first_problem("words", "TERM", word, DESCRIBED, forms)
    return found[0]


def _in_feature(
    job: Path | None, feature: str | None, shop: Path | None, house: Path | None
) -> "tuple[RuleBase, FeatureAdvice, Units]":
    """The rule base asked, the advice for the feature, and the units of the job."""
    if job is None:
        raise first_problem("words", "--job", "nothing", "a job file beside --feature")
    assignment = assignment_of(job, shop, house)
    known = {item.id: item for item in assignment.job.features}
    feature = feature_meant(str(job), "--feature", feature or "nothing", f"one of {', '.join(known)}", known)
    from advisor.choosing.advice import advise_feature
    from advisor.situation.bench import bench_of

    bench = bench_of(assignment)
    return bench.base, advise_feature(known[feature], assignment.crib, bench), assignment.job.units
