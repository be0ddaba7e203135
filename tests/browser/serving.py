"""A shop's pages opened on a free port of this machine, as ``thriftloom serve`` opens them, until the test is over."""

import threading
from contextlib import contextmanager

import waitress

from shop.assemble import application
from shop.settings import read_settings
from shop.store.engine import Store


@contextmanager
def served(database, folder):
    """Serve the shop in a database file; gives its address and its application.

    Args:
        database: the SQLite file.
        folder: for the instance's own files.
    """
    store = Store(f"sqlite:///{database}")
    app = application(read_settings({"THRIFTLOOM_SIGN_IN_ATTEMPTS": "500"}, instance=folder), store)
    sockets = {}
    server = waitress.create_server(app, map=sockets, host="127.0.0.1", port=0, threads=4, ident=None)
    thread = threading.Thread(target=server.run, name="the shop's pages", daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.effective_port}", app
    finally:
        # The loop ends by itself once nothing is left to listen to; only it may close what it listens to.
        server.trigger.pull_trigger(lambda: [one.close() for one in list(sockets.values())])
        thread.join(10)
        server.task_dispatcher.shutdown()
        store.close()
        assert not thread.is_alive()
