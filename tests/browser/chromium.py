"""Chromium, driven by selenium, for the tests of pages: windows, light and dark, no script, axe-core."""
import os

from harness import ROOT, tool

AXE = os.path.join(ROOT, "build", "axe", "axe.min.js")


def resize(driver, width, height):
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride",
                           {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False})


def browser_for(width, height):
    from selenium import webdriver
    from selenium.webdriver.chrome.options import Options
    from selenium.webdriver.chrome.service import Service
    options = Options()
    for word in ("--headless=new", "--no-sandbox", "--hide-scrollbars", "--disable-gpu", "--disable-dev-shm-usage"):
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(service=Service(tool("chromedriver")), options=options)
    resize(driver, width, height)
    return driver


def in_chromium(suite, what, tests):
    """Runs tests(driver), or says why not."""
    try:
        import selenium  # noqa: F401
    except ImportError:
        return suite.skip(what, "python3-selenium is not installed")
    if tool("chromedriver") is None:
        return suite.skip(what, "chromium-driver is not installed")
    driver = browser_for(1024, 768)
    try:
        tests(driver)
    finally:
        driver.quit()


def without_script(driver, url):
    """Opens a page that may run none; with_script lets the next run them again."""
    driver.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    driver.get("about:blank")
    driver.get(url)


def with_script(driver):
    driver.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


def in_both_schemes(suite, driver, look):
    """look(scheme) with a device that is light, then dark; passed over where axe-core is not there."""
    if not os.path.exists(AXE):
        return suite.skip("rules of accessibility", "run make axe (npm) to have them")
    for scheme in ("light", "dark"):
        driver.execute_cdp_cmd("Emulation.setEmulatedMedia",
                               {"features": [{"name": "prefers-color-scheme", "value": scheme}]})
        look(scheme)
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})


def ask_axe(suite, driver, what):
    """axe-core: every rule of WCAG 2.2 A and AA and of best practice, contrast among them."""
    with open(AXE, encoding="utf-8") as file:
        driver.execute_script(file.read())
    found = driver.execute_async_script("axe.run().then(arguments[arguments.length - 1])")
    faults = [(fault["id"], fault["nodes"][0]["html"][:120], fault["nodes"][0].get("failureSummary", "")[:200])
              for fault in found["violations"]]
    suite.check(f"axe-core finds nothing at {what}", not faults and len(found["passes"]) > 10, faults)
