"""One way to use three browser engines, as a baker does and as a test looks on.

Chromium is driven by Playwright, Firefox by WebDriver BiDi, WebKit by WebDriver on a screen of its own. Each
is one process for all the tests of a run.
"""

from browser.engine.chromium import Chromium
from browser.engine.firefox import Firefox
from browser.engine.webkit import WebKit

ENGINES = {"chromium": Chromium, "firefox": Firefox, "webkit": WebKit}
