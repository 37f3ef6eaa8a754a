"""Sphinx for `.docs/build`: guides in Markdown, the API and the formulas from docstrings, the handbook of the rules."""

from docutils import nodes
from docutils.utils.math.latex2mathml import tex2mathml
from sphinx.application import Sphinx
from sphinx.writers.html5 import HTML5Translator

from advisor.version import __version__

project = "Roughing Advisor"
release = __version__
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]

autodoc_typehints = "description"
napoleon_numpy_docstring = False
myst_heading_anchors = 3
highlight_language = "none"

html_theme = "alabaster"
html_theme_options = {
    "description": "How to rough-mill each feature of a part, and why",
    "fixed_sidebar": True,
    "page_width": "1100px",
    "show_powered_by": False,
}
html_sidebars = {"**": ["about.html", "searchfield.html", "navigation.html"]}
html_math_renderer = "mathml"
html_copy_source = False
html_show_copyright = False
html_use_index = False


def _mathml(node: nodes.Element, block: bool) -> str:
    return tex2mathml(node.astext().replace("°", r"^\circ"), as_block=block)


def _inline(self: HTML5Translator, node: nodes.math) -> None:
    self.body.append(_mathml(node, block=False))
    raise nodes.SkipNode


def _display(self: HTML5Translator, node: nodes.math_block) -> None:
    self.body.append(f"<p>{_mathml(node, block=True)}</p>\n")
    raise nodes.SkipNode


def setup(app: Sphinx) -> None:
    """Write equations as MathML, which browsers show without a script from another server."""
    app.add_html_math_renderer("mathml", inline_renderers=(_inline, None), block_renderers=(_display, None))
