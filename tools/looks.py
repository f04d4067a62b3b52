"""Take a picture of every page, narrow and wide, light and dark, to be looked at.

    python tools/looks.py FOLDER     all pages into a folder
    python tools/looks.py            the first sight of each, light, into docs/pictures

Runs its own server over the three examples, in memory; needs Chromium.
"""

import socket
import sys
import threading
from pathlib import Path

import programs

ROOT = Path(__file__).parents[1]
SHOWN = ROOT / "docs" / "pictures"
WIDTHS = (360, 1600)
PAGES = {
    "start": "/",
    "rig": "/rig",
    "rig-measured": "/rig/1",
    "plan-choose": "/plan",
    "plan": "/plan/2?rig=1&day=3",
    "plan-print": "/plan/2/print?rig=1&day=3",
    "plan-show": "/plan/2/show.html?rig=1&day=3",
    "plan-why": "/plan/2/why?rig=1&day=3&key=bitterness.ibu",
    "documents": "/documents",
    "recipe": "/documents/2",
    "history": "/documents/2/history",
    "join": "/join",
    "pipes": "/pipes/1",
    "pipes-stop": "/pipes/1?do=handles.V1%3Dchiller&do=handles.V2%3Dfermenter",
    "pipes-step": "/pipes/1?step=8",
    "pipes-edit": "/pipes/1/edit",
    "rest": "/rest/2?rig=1&day=3",
    "chill": "/chill",
    "lots": "/lots",
    "lot": "/lots/1",
    "lot-paper": "/lots/1/paper",
    "deck": "/deck/1",
    "chill-warm-tap": "/chill?rig=1&volume=22&from=98&to=18&tap=27&day=none",
}


def main(words: list[str]) -> int:
    """Take them."""
    import uvicorn
    from playwright.sync_api import sync_playwright

    from wortline.app.lots import start_lot
    from wortline.web.server import application
    from wortline.web.services import memory_services

    found = programs.chromium()
    if found is None:
        print(programs.why_not("chromium"), file=sys.stderr)
        return 1
    folder = Path(words[0]) if words else SHOWN
    folder.mkdir(parents=True, exist_ok=True)
    given = memory_services()
    start_lot(given.lots, given.documents, given.watch, 2, 1, 3)
    with socket.create_server(("127.0.0.1", 0)) as made:
        config = uvicorn.Config(application(given), log_level="warning")
        server = uvicorn.Server(config)
        thread = threading.Thread(target=server.run, args=([made],))
        thread.start()
        url = f"http://127.0.0.1:{made.getsockname()[1]}"
        try:
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(
                    executable_path=found, args=["--no-sandbox", "--disable-gpu"]
                )
                for name in PAGES:
                    for width in WIDTHS:
                        for light in ("light", "dark") if words else ("light",):
                            page = browser.new_page(
                                viewport={"width": width, "height": 1000}, color_scheme=light
                            )
                            page.goto(url + PAGES[name])
                            # the deck draws itself from what it holds
                            drawn = ".foot .touch" if name == "deck" else "h1"
                            page.locator(drawn).first.wait_for()
                            dark = "-dark" if light == "dark" else ""
                            page.screenshot(
                                path=folder / f"page-{name}-{width}{dark}.png",
                                # in the repository the first sight of a page is enough
                                full_page=bool(words),
                            )
                            page.close()
                browser.close()
        finally:
            server.should_exit = True
            thread.join()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
