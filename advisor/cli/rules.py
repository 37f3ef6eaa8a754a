"""``roughing rules``: the rule base listed, a rule in full, the rule base checked."""

from typing import Annotated

import typer

from advisor.cli.guard import BAD_INPUT, guarded
from advisor.cli.output import Format, first_problem, remark, show, show_json, write

app = typer.Typer(
    help="List, show or check the rules.",
    rich_markup_mode=None,
    no_args_is_help=True,
    epilog="Example: roughing rules list --stage entry",
)
FormOption = Annotated[Format, typer.Option("--format", help="How the rules are written.")]


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
    form: FormOption = Format.text,
) -> int:
    """List the rules, stage by stage: title, verdict, id."""
    from advisor.report.rulebook import chosen, list_blocks, rule_record
    from advisor.rulebase.measures import STAGES
    from advisor.rulebase.shipped import rule_base

    base = rule_base()
    _known("--stage", stage, list(STAGES))
    _known("--method", method, list(base.measures["method"].words))
    _known("--material", material.upper() if material else None, list(base.measures["group"].words))
    found = chosen(base, stage, method, material.upper() if material else None, word)
    if form is Format.json:
        show_json([rule_record(rule, base) for rule in found])
    else:
        show(list_blocks(found), form)
    remark(f"{len(found)} of {len(base.rules)} rules")
    return 0


@app.command("show", epilog="Example: roughing rules show narrow-slot-is-ramped")
@guarded
def show_rule(
    rule_id: Annotated[str, typer.Argument(metavar="ID", help="The id of a rule.", show_default=False)],
    form: FormOption = Format.text,
) -> int:
    """Show one rule: what, when, why, what to do, its thresholds, source and examples."""
    from advisor.report.rulebook import rule_blocks, rule_record
    from advisor.rulebase.shipped import rule_base

    base = rule_base()
    rule = base.by_id.get(rule_id)
    if rule is None:
        raise first_problem("rules show", "ID", rule_id, "the id of a rule, as rules list shows them", base.by_id)
    if form is Format.json:
        show_json(rule_record(rule, base))
    else:
        show(rule_blocks(rule, base), form)
    return 0


@app.command("check", epilog="Example: roughing rules check")
@guarded
def check_rules() -> int:
    """Check the rule base: every file is read, every rule's examples are run. Ends with 2 if something is wrong."""
    from advisor.report.rulebook import counts
    from advisor.rulebase.check import check
    from advisor.rulebase.shipped import rule_base

    base = rule_base()
    problems = check(base)
    remark(*(str(problem) for problem in problems))
    write(f"{counts(base)} {f'{len(problems)} faults.' if problems else 'All examples hold.'}\n")
    return BAD_INPUT if problems else 0
