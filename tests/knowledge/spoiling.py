"""A good rule, and how the tests spoil it in one place.

The line that must be named carries the comment ``# here``.
"""

GOOD = """\
- id: a-new-rule # here
  title: A new rule
  about: {method: layered_pocketing}
  when: [width_ratio < loop_width_ratio_least]
  verdict: against
  because: The narrowest width is {width_ratio} times the cutter.
  source: {common_practice: true}
  examples: {fires: [{width_ratio: 1}], silent: [{width_ratio: 3}]}
"""
HERE = " # here"


def line_of(text: str) -> int:
    return next(place for place, line in enumerate(text.splitlines(), 1) if HERE.strip() in line)


def changed(old: str, new: str) -> str:
    """Return the good rule with one line changed; the place that must be named moves there."""
    assert old in GOOD
    text = GOOD.replace(HERE, "") if HERE in new else GOOD
    return text.replace(old, new)


def when(*conditions: str) -> str:
    return changed("when: [width_ratio < loop_width_ratio_least]", f"when: [{', '.join(conditions)}]{HERE}")


CONCLUDES = GOOD.replace(
    "verdict: against", "verdict: concludes\n  concludes: {fact: FACT, value: VALUE}" + HERE
).replace(HERE, "", 1)


def concluding(fact: str, value: str, *, about: str = "", condition: str = "depth > 1") -> str:
    text = (
        CONCLUDES.replace("FACT", fact)
        .replace("VALUE", value)
        .replace("width_ratio < loop_width_ratio_least", condition)
    )
    text = text.replace("  about: {method: layered_pocketing}\n", about)
    return (
        text.replace("{width_ratio}", "{depth}")
        .replace("{width_ratio: 1}", "{depth: 2}")
        .replace("{width_ratio: 3}", "{depth: 1}")
    )
