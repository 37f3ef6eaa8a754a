"""The command ``roughing``. Whatever a command needs, it imports itself, so that the start is quick."""

import gc
import os
import sys
from typing import Annotated

import typer

from advisor.cli import advise, coach, crib, init, materials, review, rules, schema, where, why, words
from advisor.version import __version__

app = typer.Typer(
    name="roughing",
    epilog="Example: roughing advise cases/winch-side-plate/job.yaml",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _version(asked: bool) -> None:
    if asked:
        from advisor.cli.output import write

        write(f"roughing {__version__}, rules evaluated by {_engine()}\n")
        raise typer.Exit


def _engine() -> str:
    try:
        from advisor.inference.durable import NAME
    except ImportError:
        from advisor.inference.evaluator import NAME
    return NAME


@app.callback()
def options(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Show the version and the inference engine."),
    ] = False,
) -> None:
    """Try first:

    \b
    roughing advise cases/winch-side-plate/job.yaml
      the advice for a shipped part
    roughing init my-shop
      a shop, a crib and a job to make your own
    roughing advise my-shop/job.yaml
      the advice for them

    Says how to rough-mill each feature of a part, with which cutter of the crib, and why. Any command with --help says
    more.
    """


app.command("advise", epilog=advise.EXAMPLE, short_help="How to rough each feature of a job, and why.")(advise.command)
app.command("why", epilog=why.EXAMPLE, short_help="The full evidence for one feature.")(why.command)
app.command("review", epilog=review.EXAMPLE, short_help="A second pair of eyes on a plan.")(review.command)
app.command("crib", epilog=crib.EXAMPLE, short_help="Read and check a crib.")(crib.command)
app.add_typer(rules.app, name="rules")
app.add_typer(coach.app, name="coach", short_help="Practise the reasons: questions, a report, sheets.")
app.command("words", epilog=words.EXAMPLE, short_help="A word of the trade in two sentences.")(words.command)
app.command("materials", epilog=materials.EXAMPLE, short_help="The materials: names, groups, states.")(
    materials.command
)
app.command("init", epilog=init.EXAMPLE, short_help="A first shop, crib and job.")(init.command)
app.command("where", epilog=where.EXAMPLE, short_help="The files and folders that are used.")(where.command)
app.command("schema", epilog=schema.EXAMPLE, short_help="The JSON Schema of a file, or of the advice.")(schema.command)


def run() -> None:
    """Run the command line."""
    gc.disable()  # a run is short and its memory small: collecting costs a tenth of it
    os.environ.setdefault(
        "PYDANTIC_DISABLE_PLUGINS", "__all__"
    )  # no model of ours has any; looking for them takes time
    try:
        app()
    except BrokenPipeError:
        from advisor.cli.guard import closed_pipe

        sys.exit(closed_pipe())
    except OSError as error:  # of what is written before a command runs: help, version, a slip in the options
        from advisor.cli.guard import unwritable

        sys.exit(unwritable(error))
    finally:
        gc.freeze()  # nor look through it all once more at the end


if __name__ == "__main__":
    run()
