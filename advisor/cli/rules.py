"""``roughing rules``: the rule base listed, a rule in full, the facts for conditions, the rule base checked, and all of
it as a handbook.
"""

from typing import Annotated

import typer

from advisor.cli import book, check
from advisor.cli.asking import HouseFolder, base_of
from advisor.cli.guard import guarded
from advisor.cli.output import Format, first_problem, remark, show, show_json

app = typer.Typer(
    help="List, show or check the rules, look up facts for conditions, or write a handbook.",
    rich_markup_mode=None,
    no_args_is_help=True,
    epilog="Example: roughing rules list --stage entry",
)
FormOption = Annotated[Format, typer.Option("--format", help="Output format.")]


def _known(option: str, asked: str | None, known: list[str]) -> None:
    if asked is not None and asked not in known:
        raise first_problem("rules list", option, asked, f"one of {', '.join(known)}", known)


@app.command("list", epilog="Example: roughing rules list --method ramped_slotting")
@guarded
def list_rules(
    stage: Annotated[str | None, typer.Option(help="Only the rules of this stage.")] = None,
    method: Annotated[str | None, typer.Option(help="Only the rules that name this method.")] = None,
    material: Annotated[
        str | None,
        typer.Option(metavar="GROUP", help="Only the rules that name this group of ISO 513: N, P, M, K, S, H."),
    ] = None,
    word: Annotated[str | None, typer.Option(help="Only the rules with this word in them.")] = None,
    house: HouseFolder = None,
    form: FormOption = Format.text,
) -> int:
    """List the rules, stage by stage: title, verdict, id."""
    from advisor.knowledge.measures import STAGES
    from advisor.knowledge.schema import Rule
    from advisor.render.rule_record import preference_record, rule_record
    from advisor.text.names import RANKING
    from advisor.text.rulebook import chosen, list_blocks

    base = base_of(house)
    _known("--stage", stage, [*STAGES, RANKING] if base.preferences else list(STAGES))
    _known("--method", method, list(base.measures["method"].words))
    _known("--material", material.upper() if material else None, list(base.measures["group"].words))
    found = chosen(base, stage, method, material.upper() if material else None, word)
    if form is Format.json:
        show_json([rule_record(one, base) if isinstance(one, Rule) else preference_record(one, base) for one in found])
    else:
        show(list_blocks(found), form)
    remark(f"{len(found)} of {len(base.asked)} rules")
    return 0


@app.command("show", epilog="Example: roughing rules show narrow-slot-is-ramped")
@guarded
def show_rule(
    rule_id: Annotated[str, typer.Argument(metavar="ID", help="The id of a rule.", show_default=False)],
    house: HouseFolder = None,
    form: FormOption = Format.text,
) -> int:
    """Show one rule: what, when, why, what to do, its thresholds, source, examples, and the cases it fires in."""
    from advisor.knowledge.schema import Preference
    from advisor.render.rule_record import around_record, preference_record, rule_record
    from advisor.text.known_firings import firings
    from advisor.text.rule_page import case_blocks
    from advisor.text.rulebook import preference_blocks, rule_blocks

    base = base_of(house)
    known = {one.id: one for one in base.asked}
    rule = known.get(rule_id)
    if rule is None:
        raise first_problem("rules show", "ID", rule_id, "the id of a rule, as rules list shows them", known)
    if isinstance(rule, Preference):
        if form is Format.json:
            show_json(preference_record(rule, base))
        else:
            show(preference_blocks(rule, base), form)
        return 0
    found = firings() if house is None else None  # the cases were run with the shipped rules
    if form is Format.json:
        show_json(rule_record(rule, base) | around_record(rule, base, found))
    else:
        show((*rule_blocks(rule, base), *(case_blocks(rule, found) if found else ())), form)
    return 0


@app.command("facts", epilog="Example: roughing rules facts depth ratio")
@guarded
def list_facts(
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="[WORD…]", help="Only the facts with these words in them.", show_default=False),
    ] = None,
    level: Annotated[
        str | None, typer.Option(help="Only those known for: feature, cutter, method or candidate.")
    ] = None,
    house: HouseFolder = None,
    form: FormOption = Format.text,
) -> int:
    """List the facts that a condition may use: name, what it is, unit, values, an example.

    A few are shown in full, with their formula and the rules that read them.
    """
    from advisor.knowledge.measures import LEVELS
    from advisor.render.fact_record import fact_record
    from advisor.text.facts import facts_blocks, facts_meant

    base, asked = base_of(house), words or []
    if level is not None and level not in LEVELS:
        raise first_problem("rules facts", "--level", level, f"one of {', '.join(LEVELS)}", LEVELS)
    found = [measure for measure in facts_meant(base, asked) if level in (None, measure.level)]
    if not found:
        typed = " ".join(asked)
        raise first_problem(
            "rules facts", "WORD", typed, "a word of a fact; without any, all are listed", base.measures
        )
    if form is Format.json:
        show_json([fact_record(measure, base) for measure in found])
    else:
        show(facts_blocks(found, base), form)
    remark(f"{len(found)} of {len(base.measures)} facts")
    return 0


app.command("check", epilog=check.EXAMPLE)(check.command)
app.command("book", epilog=book.EXAMPLE)(book.command)
