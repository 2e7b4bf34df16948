"""What keeps somebody from using a page: barriers, targets too small, a page too wide.

Barriers are what axe-core, a general checker of the W3C's WCAG 2, calls serious or critical.
44 px is the size of a target in WCAG 2.2, success criterion 2.5.5 (level AAA), which also
leaves out links within a sentence; 390 px is the width of a common phone (no source).
"""

from typing import Any

from axe_playwright_python.base import AXE_SCRIPT

SMALL = """() => {
  const isShown = one => one.getClientRects().length > 0;
  const isInSentence = link => {
    const around = link.parentElement.textContent.replace(link.textContent, '');
    return getComputedStyle(link).display === 'inline' && /\\p{L}/u.test(around);
  };
  const targets = [...document.querySelectorAll(
    'button, a[href], summary, select, textarea, input:not([type=hidden])')];
  return targets.filter(one => isShown(one) && !(one.matches('a') && isInSentence(one)))
    .map(one => one.matches('[type=radio], [type=checkbox]') ? one.closest('label') : one)
    .map(one => [one, one.getBoundingClientRect().height])
    .filter(([, height]) => height < 43.9)
    .map(([one, height]) => `${one.outerHTML.slice(0, 80)}: ${Math.round(height)} px`);
}"""
WIDE = """() => {
  const edge = document.documentElement.clientWidth;
  return document.documentElement.scrollWidth <= edge ? [] :
    [...document.querySelectorAll('body *')]
      .filter(one => one.getBoundingClientRect().right > edge + 1)
      .map(one => `${one.tagName}.${one.className} in ${one.closest('[id]')?.id}`);
}"""
GRAVE = """options => axe.run({ ...options, resultTypes: ['violations'] }).then(found =>
  found.violations.filter(one => ['serious', 'critical'].includes(one.impact)).flatMap(one =>
    one.nodes.map(node => `${one.id}: ${node.target} ${node.html.slice(0, 90)}`)))"""


def find_barriers(page: Any) -> list[str]:
    """List grave violations: each rule and what it meets; colours in the dark too."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(f"{AXE_SCRIPT}; null")
    found: list[str] = page.evaluate(GRAVE, {})
    page.emulate_media(color_scheme="dark")
    found += page.evaluate(GRAVE, {"runOnly": ["color-contrast"]})
    page.emulate_media(color_scheme="light")
    return found
