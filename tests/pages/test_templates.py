"""What every template keeps to: nothing inline, nothing from elsewhere, a page is its fragment."""

import re
from pathlib import Path

import pytest
from jinja2 import meta, nodes

import server
from server.methods.registry import METHODS
from server.pages.assets import STATIC, TEMPLATES
from server.pages.rendering import get_environment
from server.sheets.scales.registry import KINDS
from server.tastings.seat_view import StepKind

PACKAGE = Path(server.__file__).parent
NAMES = sorted(str(one.relative_to(TEMPLATES)) for one in TEMPLATES.rglob("*.html"))
FRAMES = {"base.html", "leader_frame.html"}
PAGES = [
    name for name in NAMES
    if (TEMPLATES / name).read_text().startswith("{% extends") and name not in FRAMES
]  # fmt: skip


def read(name):
    return (TEMPLATES / name).read_text(encoding="utf-8")


def fragment_of(page):
    folder, _, name = page.rpartition("/")
    return f"{folder}/_{name}"


def test_the_templates_are_found():
    assert len(NAMES) >= 40
    assert len(PAGES) >= 15


@pytest.mark.parametrize("name", NAMES)
def test_a_template_compiles(name):
    assert get_environment("en").get_template(name)


@pytest.mark.parametrize("name", NAMES)
def test_a_template_has_nothing_inline(name):
    text = read(name)
    assert not re.search(r"<script(?![^>]*\bsrc=)|<script[^>]*>\s*[^<\s]", text)
    assert not re.search(r"<style\b|\sstyle\s*=|javascript:", text, re.IGNORECASE)
    assert not re.search(r"<[^>]*\son[a-z]+\s*=", text, re.IGNORECASE)


@pytest.mark.parametrize("name", NAMES)
def test_a_template_needs_nothing_from_elsewhere(name):
    assert not re.search(r"https?:|=[\"']//", read(name))


@pytest.mark.parametrize("name", NAMES)
def test_a_template_uses_no_script_in_attributes(name):
    assert not re.search(r"hx-on|hx-vals=[\"']js:|hx-trigger=\"[^\"]*\[", read(name))


@pytest.mark.parametrize("name", NAMES)
def test_a_template_trusts_no_text(name):
    assert not re.search(r"\|\s*safe\b|autoescape\s+false", read(name))


@pytest.mark.parametrize("page", PAGES)
def test_a_page_is_its_fragment_in_a_frame(page):
    tree = get_environment("en").parse(read(page))
    included = [one.template.value for one in tree.find_all(nodes.Include)]
    assert fragment_of(page) in included


@pytest.mark.parametrize("page", PAGES)
def test_a_fragment_has_a_root_that_swaps_can_find(page):
    text = read(fragment_of(page))
    assert re.search(r"<(section|article|form|aside|div)\b[^>]*\bid=\"", text)


@pytest.mark.parametrize("name", [one for one in NAMES if "hx-post" in read(one)])
def test_a_form_that_a_script_sends_works_without_one(name):
    for tag in re.findall(r"<form\b[^>]*hx-post[^>]*>", read(name)):
        target = re.search(r'hx-post="([^"]*)"', tag)[1]
        assert f'action="{target}"' in tag
        assert 'method="post"' in tag


def find_named():
    """Templates that another template includes, imports or extends, or that a page shows."""
    named = set()
    for name in NAMES:
        named |= set(meta.find_referenced_templates(get_environment("en").parse(read(name))))
    code = "".join(one.read_text(encoding="utf-8") for one in PACKAGE.rglob("*.py"))
    shown = set(re.findall(r'show(?:_fragment)?\([^"]*"([a-z_]+/[a-z_]+)"', code))
    return named | {f"{one}.html" for one in shown} | {fragment_of(f"{one}.html") for one in shown}


def test_every_template_is_used():
    ballots = {f"_{method.form}{part}" for method in METHODS.values() for part in ("", "_answer")}
    by_value = {f"assessor/{one}.html" for one in ballots | {f"_{step}" for step in StepKind}}
    by_value |= {f"assessor/scales/{on}_{kind}.html" for kind in KINDS for on in ("", "paper/")}
    assert set(NAMES) - find_named() - by_value == set()


def test_static_files_named_in_templates_are_there():
    named = {found for name in NAMES for found in re.findall(r"asset\('([^']+)'\)", read(name))}
    assert "oddcup.css" in named
    assert [one for one in named if not (STATIC / one).is_file()] == []
