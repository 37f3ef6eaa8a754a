"""A rule-based strategy advisor for rough milling.

    import advisor
    job = advisor.read_job("cases/winch-side-plate/job.yaml")
    for answer in advisor.advise(job).features:
        print(answer.region.id, answer.grade, answer.best.method, answer.best.cutter.id)
    print(advisor.as_text(advisor.compare(job, "S1", method="plunge roughing")))

What is named here is the face of the package; everything else is its own affair. Names are imported on first use, so
that the program starts quickly. All of it may be called from any thread.
"""

TYPE_CHECKING = False  # nothing is loaded here: an interrupt in these moments could not be told quietly
if TYPE_CHECKING:
    from advisor.analysis.comparison import Beside
    from advisor.choosing.job_advice import Advice
    from advisor.face import (
        as_data,
        as_html,
        as_markdown,
        as_text,
        parse_job,
        parse_operations,
        parse_plan,
        read_job,
        read_plan,
    )
    from advisor.files.problems import BadInput, Problem
    from advisor.model.answer import FeatureAdvice
    from advisor.model.assignment import Assignment
    from advisor.model.operations import Plan
    from advisor.review.verdict import Review
    from advisor.service import advise, compare, explain, review_plan
    from advisor.version import __version__

_HOMES = {
    "advisor.face": "as_data as_html as_markdown as_text parse_job parse_operations parse_plan read_job read_plan",
    "advisor.model.assignment": "Assignment",
    "advisor.model.operations": "Plan",
    "advisor.files.problems": "BadInput Problem",
    "advisor.choosing.job_advice": "Advice",
    "advisor.model.answer": "FeatureAdvice",
    "advisor.analysis.comparison": "Beside",
    "advisor.review.verdict": "Review",
    "advisor.service": "advise compare explain review_plan",
    "advisor.version": "__version__",
}
_MODULE_OF = {name: module for module, names in _HOMES.items() for name in names.split()}

__all__ = [
    "Advice",
    "Assignment",
    "BadInput",
    "Beside",
    "FeatureAdvice",
    "Plan",
    "Problem",
    "Review",
    "__version__",
    "advise",
    "as_data",
    "as_html",
    "as_markdown",
    "as_text",
    "compare",
    "explain",
    "parse_job",
    "parse_operations",
    "parse_plan",
    "read_job",
    "read_plan",
    "review_plan",
]


def __getattr__(name: str) -> object:
    if name not in _MODULE_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    value = getattr(import_module(_MODULE_OF[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
