"""The shop's pages in a process of their own, for a test that kills it: ``python -m tests.processes.serving_till URL FOLDER``.

Says its port when it listens. ``THRIFTLOOM_TEST_DIES`` lets it die between the receipt of what a phone sent and the answer:
``3 before`` at the third sending before anything is done with it, ``3 after`` when all is done; ``0`` never.
"""
# ruff: noqa: T201 - it answers by printing

import itertools
import os
import signal
import sys
from pathlib import Path

import waitress

from shop.assemble import application
from shop.settings import read_settings
from shop.store.engine import Store


def main(url, folder):
    app = application(read_settings({}, instance=Path(folder)), Store(url))
    at, _, when = os.environ.get("THRIFTLOOM_TEST_DIES", "0").partition(" ")
    inner, sendings = app.wsgi_app, itertools.count(1)

    def until_it_dies(environ, start_response):
        if environ["PATH_INFO"] != "/till/entries":
            return inner(environ, start_response)
        its_hour = next(sendings) == int(at)
        if its_hour and when == "before":
            os.kill(os.getpid(), signal.SIGKILL)
        answer = list(inner(environ, start_response))
        if its_hour:
            os.kill(os.getpid(), signal.SIGKILL)
        return answer

    app.wsgi_app = until_it_dies
    server = waitress.create_server(app, host="127.0.0.1", port=0, threads=4)
    print(server.effective_port, flush=True)
    server.run()


if __name__ == "__main__":
    main(*sys.argv[1:])
