"""A build on a Dask cluster of this machine: the same letters, whole in spite of killed workers."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys

import dask
import pytest
from crashing import slow_and_light
from distributed import Client, LocalCluster
from sqlalchemy import select

from advisor.base.problems import BadInput, Place
from advisor.mailing.editions import build as build_module
from advisor.mailing.editions.build import CRASHED, build_edition
from advisor.mailing.editions.cluster import safe
from advisor.mailing.editions.on_cluster import on_cluster
from advisor.mailing.editions.packed import pack
from advisor.mailing.letters.batch import compose_share
from advisor.mailing.store.store import open_store, reading
from advisor.mailing.store.tables import copy, letter, reader
from advisor.mailing.use_cases.import_readers import import_readers

from .conftest import ROWS, TODAY, WEEK, write_list

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def cluster():
    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 1}),
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as running,
    ):
        yield running


def stored(store):
    """Of each reader the address and the letter."""
    with reading(store) as connection:
        rows = select(reader.c.address, letter.c.subject, letter.c.text, letter.c.html)
        rows = rows.select_from(copy).join(reader).join(letter)
        return sorted(tuple(row) for row in connection.execute(rows))


def lawns(number, grass="tall fescue"):
    return tuple(
        f"{grass[0]}{n}@example.org,,50010,US,{grass},{100 + n} m2,,2018-01-01,form,,"
        for n in range(number)
    )


def a_list(folder, book, rows):
    write_list(folder, rows)
    store = open_store(folder / "mail.db")
    import_readers(folder / "readers.csv", store, book, TODAY)
    return store


def build(folder, store, book, address, work=compose_share, **options):
    with on_cluster(address, work) as pool:
        return build_edition(folder, store, book, WEEK, TODAY, workers=0, pool=pool, **options)


@pytest.mark.slow
def test_a_cluster_makes_the_same_letters_and_needs_no_shared_folder(tmp_path, book, cluster):
    here, there = a_list(tmp_path / "a", book, ROWS), a_list(tmp_path / "b", book, ROWS)
    build_edition(tmp_path / "a", here, book, WEEK, TODAY, workers=1)
    built = build(tmp_path / "b", there, book, cluster.scheduler_address)
    assert (built.written, built.failed, built.lacking) == (len(ROWS), [], 0)
    assert stored(there) == stored(here)
    again = build(tmp_path / "b", there, book, cluster.scheduler_address)
    assert (again.written, again.decided) == (0, 0)


@pytest.mark.slow
def test_a_killed_worker_and_a_poisonous_case(tmp_path, book, cluster, monkeypatch):
    """A worker is killed from outside at work; another case kills each worker that takes it."""
    monkeypatch.setattr(build_module, "MOST_CASES", 2)
    store = a_list(tmp_path, book, (*lawns(9), *lawns(1, "zoysiagrass")))
    killed = []
    with Client(cluster.scheduler_address, set_as_default=False) as looking:
        pids = looking.run(os.getpid)

        def tell(done, of):
            busy = [worker for worker, keys in looking.processing().items() if keys]
            if busy and not killed:
                killed.append(pids[busy[0]])
                os.kill(killed[0], signal.SIGKILL)

        built = build(tmp_path, store, book, cluster.scheduler_address, slow_and_light, tell=tell)
    assert len(killed) == 1
    found = stored(store)
    assert [row[:2] for row in found] == [
        (f"t{n}@example.org", f"tall_fescue {100 + n:.3f}") for n in range(9)
    ]
    assert built.written == 9
    assert (built.failed, built.lacking) == ([(10, CRASHED)], 1)
    assert built.crashes >= 2


def scheduler_to_kill(said):
    """A scheduler with a worker, for a process of their own."""
    from threading import Event

    with LocalCluster(
        n_workers=1, processes=False, protocol="tcp://", dashboard_address=None
    ) as running:
        said.put(running.scheduler_address)
        Event().wait()


def test_a_lost_scheduler_is_one_sentence_and_what_is_built_stays(
    tmp_path, book, monkeypatch, capfd
):
    monkeypatch.setattr(build_module, "MOST_CASES", 1)
    store = a_list(tmp_path, book, lawns(5))
    # A fresh interpreter, since this one has threads of Dask's.
    fresh = multiprocessing.get_context("spawn")
    said = fresh.Queue()
    other = fresh.Process(target=scheduler_to_kill, args=(said,), daemon=True)
    other.start()
    where = said.get(timeout=60)
    with pytest.raises(BadInput, match=r"is gone; build again"):
        build(tmp_path, store, book, where, slow_and_light, tell=lambda done, of: other.kill())
    other.join()
    assert 1 <= len(stored(store)) < 5
    assert "Traceback" not in capfd.readouterr().err


@pytest.mark.parametrize(
    ("address", "says"),
    [
        ("10.1.2.3:8786", "without encryption"),
        ("tcp://cluster.example.org:8786", "without encryption"),
        ("ws://127.0.0.1:8786", "without encryption"),
        ("tls://10.1.2.3", "is no address"),
        ("nowhere", "is no address"),
        ("tcp://127.0.0.1:99999", "is no address"),
    ],
)
def test_no_code_from_strangers(address, says):
    with pytest.raises(BadInput, match=says):
        safe(address)


@pytest.mark.parametrize("address", ["127.0.0.1:8786", "tcp://[::1]:8786", "localhost:1"])
def test_this_machine_needs_no_certificate(address):
    assert safe(address).endswith(address)


def test_what_cannot_work_is_said(tmp_path, book, cluster, monkeypatch):
    with pytest.raises(BadInput, match=r"wants certificates.*distributed\.comm\.tls"):
        build(tmp_path, None, book, "tls://127.0.0.1:8786")
    monkeypatch.setattr("advisor.mailing.editions.on_cluster.about", os.getpid)
    with pytest.raises(BadInput, match="install the same there"):
        build(tmp_path, None, book, cluster.scheduler_address)
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(BadInput, match=r"pip install 'turf-windows\[cluster\]'"):
        build(tmp_path, None, book, "127.0.0.1:8786")


def test_weather_that_was_changed_meanwhile_is_not_sent(mailing, book):
    folder, store = mailing

    def work(share):
        with (share.folder / "weather" / "central_iowa.csv").open("a") as file:
            file.write("\n")
        return pack(share)

    class Here:
        crashes = 0

        def run(self, shares):
            for share in shares:
                work(share)
                yield share, None

    with pytest.raises(BadInput, match=r"central_iowa\.csv: was changed while"):
        build_edition(folder, store, book, WEEK, TODAY, workers=0, pool=Here())


def test_a_refusal_crosses_processes_whole():
    import pickle

    refusal = BadInput.at(Place("a.csv", 3), "is wrong")
    assert pickle.loads(pickle.dumps(refusal)).problems == refusal.problems
