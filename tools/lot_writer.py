"""Keeps entries of a lot as a server does, until it is killed: a line in, a line out.

Started by `lot_kills`. Everything is loaded once; every word on the input then brings up a child
that opens the store afresh and serves one connection: each line is a JSON list of entries, and the
answer says what became of each, after they are durable. The child is what is killed.
"""

import json
import os
import socket
import sys

from wortline.app.lots import keep
from wortline.store.watch import SystemWatch
from wortline.wiring import open_store


def serve(folder: str, lot: int, address: str) -> None:
    """Keep what comes, for as long as it comes."""
    with socket.socket(socket.AF_UNIX) as door:
        door.bind(address)
        door.listen(1)
        store, watch = open_store(folder), SystemWatch()
        print(os.getpid(), flush=True)
        connection, _ = door.accept()
        with connection, connection.makefile("r", encoding="utf-8") as lines:
            for line in lines:
                kept = keep(store.lots, watch, lot, json.loads(line))
                said = json.dumps([[each.id, each.what, each.number] for each in kept])
                connection.sendall(f"{said}\n".encode())


def main(folder: str, lot: int) -> None:
    """Bring up a child for every line of the input, one after another."""
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            serve(folder, lot, line.strip())
            os._exit(0)
        os.waitpid(child, 0)
        print("gone", flush=True)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
