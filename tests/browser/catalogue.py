"""The catalogue in a real browser, from a folder: search and choices, the way back, small screens, paper, no script."""
import os
import shutil
import tempfile

from browser.chromium import ask_axe, in_both_schemes, in_chromium, resize, with_script, without_script


def shown(driver):
    return driver.execute_script("""return Array.prototype.filter.call(document.querySelectorAll('.card'),
        function (card) { return card.offsetParent; }).length;""")


def state(driver):
    """What is shown and what stands behind the address."""
    return (driver.execute_script("return document.getElementById('count').textContent"), shown(driver),
            driver.execute_script("return location.hash"))


def sizes_shown(driver):
    return set(driver.execute_script("""return Array.prototype.filter.call(document.querySelectorAll('.card'),
        function (card) { return card.offsetParent; }).map(function (card) { return card.getAttribute('data-size'); });"""))


def choose(driver, name, value):
    from selenium.webdriver.common.by import By
    from selenium.webdriver.support.select import Select
    Select(driver.find_element(By.ID, name)).select_by_value(value)


def visible_link(driver):
    from selenium.webdriver.common.by import By
    return next(link for link in driver.find_elements(By.CSS_SELECTOR, ".card h2 a") if link.is_displayed())


def searching(suite, driver, site):
    from selenium.webdriver.common.by import By
    driver.get(site + "index.html")
    suite.check("all are shown, and counted", state(driver) == ("13 of 13 patterns", 13, ""), state(driver))
    words = driver.find_element(By.ID, "words")
    words.send_keys("PIEC kestrel")
    suite.check("words are found in any order and case", state(driver)[:2] == ("3 of 13 patterns", 3), state(driver))
    words.clear()
    words.send_keys("poly-125")
    suite.check("strings are found by name", shown(driver) == 2, state(driver))
    for typed, size, count in (("16 x 19", "16 x 19", 3), ("16x19", "16 x 19", 3), ("16\u00d719 ", "16 x 19", 3)):
        words.clear()
        words.send_keys(typed)
        suite.check(f"{typed!r} finds that size alone", sizes_shown(driver) == {size} and shown(driver) == count,
                    (sizes_shown(driver), state(driver)))
    for typed, count in (("heron 16 x 19", 3), ("dunlin 16 x 19", 0), ("16 x 1", 6), ("6 x 19", 0), ("about", 0), ("one piece squash", 4)):
        words.clear()
        words.send_keys(typed)
        suite.check(f"{typed!r} finds {count}", shown(driver) == count, state(driver))
    hint = driver.find_element(By.ID, "hint").text
    suite.check("what is searched is said", all(word in hint for word in ("title", "name", "frame", "sport", "string",
                                                                          "pieces", "size")), hint)
    words.clear()
    words.send_keys("kestrel")
    choose(driver, "pieces", "one piece")
    narrowed = ("2 of 13 patterns", 2, "#words=kestrel&pieces=one+piece")
    suite.check("a choice narrows further", state(driver) == narrowed, state(driver))
    visible_link(driver).click()
    suite.check("a card leads to its page", "kestrel" in driver.current_url and driver.title.endswith("Kestrel 125"))
    driver.back()
    suite.check("what was asked for is there on going back", state(driver) == narrowed and
                driver.find_element(By.ID, "words").get_attribute("value") == "kestrel", state(driver))
    visible_link(driver).click()
    driver.find_element(By.ID, "back").click()
    suite.check("and by the link back", state(driver) == narrowed, state(driver))
    driver.find_element(By.CSS_SELECTOR, "#filter button").click()
    suite.check("all again", driver.execute_async_script("setTimeout(arguments[0], 50)") is None and
                state(driver) == ("13 of 13 patterns", 13, ""), state(driver))
    driver.find_element(By.ID, "words").send_keys("nothing like it")
    suite.check("where nothing fits, that is said", shown(driver) == 0 and
                driver.find_element(By.ID, "none").is_displayed())
    for query, count in (("sport=tennis", 4), ("string=Polyester+1.25", 2), ("size=14+x+18&pieces=two+pieces", 1),
                         ("sport=curling", 13)):
        driver.get("about:blank")
        driver.get(site + "index.html#" + query)
        suite.check(f"{query} can be kept as a bookmark", shown(driver) == count, state(driver))


def by_keyboard(suite, driver, site):
    from selenium.webdriver.common.keys import Keys
    driver.get("about:blank")
    driver.get(site + "index.html")
    names = []
    for _ in range(8):
        driver.switch_to.active_element.send_keys(Keys.TAB)
        names.append(driver.execute_script("return document.activeElement.id || document.activeElement.className || "
                                           "document.activeElement.type || document.activeElement.tagName"))
    suite.check("the way through the page by keys", names == ["skip", "words", "sport", "string", "pieces", "size",
                                                              "reset", "A"], names)
    driver.switch_to.active_element.send_keys(Keys.ENTER)
    suite.check("a card is opened by a key", driver.current_url.endswith("/index.html") and
                "heron-world" in driver.current_url, driver.current_url)


def sizes(suite, driver, site):
    for width, height in ((1280, 900), (800, 600), (390, 844), (320, 568)):
        resize(driver, width, height)
        for page in ("index.html", "kestrel-world/index.html", "pike-two/index.html"):
            driver.get(site + page)
            wide = driver.execute_script("return document.documentElement.scrollWidth - window.innerWidth")
            suite.check(f"{page} fits {width} pixels", wide <= 0, wide)
    resize(driver, 1024, 768)


def rules(suite, driver, site, scheme):
    for page in ("index.html", "kestrel-world/index.html"):
        driver.get(site + page)
        driver.execute_script("document.querySelectorAll('details').forEach(function (e) { e.open = true; })")
        ask_axe(suite, driver, f"{page}, {scheme}")


def felt(suite, driver, site):
    """A page with what the frame feels: it goes on every screen, light and dark."""
    status, _, err = suite.run("catalogue", "patterns/kestrel.slv", "--bed", "-o", site[len("file://"):])
    page = site + "kestrel-world/index.html"
    if not suite.check("a catalogue with the bed", status == 0, err.decode()):
        return
    for width, height in ((1280, 900), (320, 568)):
        resize(driver, width, height)
        driver.get(page)
        wide, picture = driver.execute_script("""
            var picture = document.querySelector('.bed').getBoundingClientRect();
            return [document.documentElement.scrollWidth - window.innerWidth, [picture.width, picture.height]];""")
        suite.check(f"a page with the bed fits {width} pixels", wide <= 0 and 250 < picture[0] <= width and
                    abs(picture[1] / picture[0] - 297 / 210) < 0.01, (wide, picture))
    resize(driver, 1024, 768)
    in_both_schemes(suite, driver, lambda scheme: (driver.get(page), ask_axe(suite, driver, f"a page with the bed, {scheme}")))


def bare(suite, driver, site):
    from selenium.webdriver.common.by import By
    without_script(driver, site + "index.html")
    cards = [card.is_displayed() for card in driver.find_elements(By.CSS_SELECTOR, ".card")]
    suite.check("without script all are listed, and nothing is offered that would not work", cards == [True] * 13 and
                not driver.find_element(By.ID, "filter").is_displayed(), cards)
    with_script(driver)


def run(suite):
    folder = tempfile.mkdtemp()
    site = "file://" + os.path.join(folder, "")

    def tests(driver):
        status, _, err = suite.run("catalogue", "patterns", "-o", folder)
        suite.check("a catalogue to look at", status == 0, err.decode())
        searching(suite, driver, site)
        by_keyboard(suite, driver, site)
        sizes(suite, driver, site)
        for entry in driver.get_log("browser"):
            suite.check("the browser has nothing to say", False, entry["message"])
        in_both_schemes(suite, driver, lambda scheme: rules(suite, driver, site, scheme))
        bare(suite, driver, site)
        felt(suite, driver, "file://" + os.path.join(folder, "felt", ""))

    try:
        in_chromium(suite, "the catalogue in a browser", tests)
    finally:
        shutil.rmtree(folder)
