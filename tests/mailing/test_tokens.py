"""Tokens: what was signed comes back, and nothing else does (RFC 8058 section 3.1; RFC 2104)."""

from __future__ import annotations

import random
import string

import pytest
from mail_samples import KEY

from advisor.base.problems import BadInput
from advisor.mailing.mails.tokens import (
    Forged,
    bounce_address,
    key_from_environment,
    leaving_token,
    read_leaving_token,
    reader_of_bounce,
)

LIST = "lawn-week.example.org"


def test_it_comes_back():
    assert read_leaving_token(KEY, leaving_token(KEY, LIST, "r7")) == (LIST, "r7")


def test_every_single_change_is_noticed():
    token = leaving_token(KEY, LIST, "r000017")
    letters = string.ascii_letters + string.digits + "-_"
    for at in range(len(token)):
        for letter in letters:
            if letter != token[at]:
                with pytest.raises(Forged):
                    read_leaving_token(KEY, token[:at] + letter + token[at + 1 :])


@pytest.mark.parametrize("token", ["", "A", "====", "é", "a b", "\0", "AAAA" * 8, "AQ", "//" * 20])
def test_noise_is_forged(token):
    with pytest.raises(Forged):
        read_leaving_token(KEY, token)


def test_random_tokens_are_forged():
    draw = random.Random(3)
    for _ in range(2_000):
        token = "".join(draw.choices(string.ascii_letters + "-_", k=draw.randint(1, 90)))
        with pytest.raises(Forged):
            read_leaving_token(KEY, token)


def test_longer_shorter_and_other_keys():
    token = leaving_token(KEY, LIST, "r7")
    for other in (token + "A", token + "=", token[:-1], token[1:], " " + token, token + "\n"):
        with pytest.raises(Forged):
            read_leaving_token(KEY, other)
    with pytest.raises(Forged):
        read_leaving_token(KEY + b"x", token)


def test_two_pairs_of_names_never_share_a_token():
    assert leaving_token(KEY, "ab", "c") != leaving_token(KEY, "a", "bc")


def test_bounces_name_their_reader_and_cannot_be_made_up():
    made = bounce_address(KEY, LIST, "r7", "bounces@example.org")
    assert made.startswith("bounces+r7-")
    assert reader_of_bounce(KEY, LIST, made) == "r7"
    for wrong in (made.replace("r7", "r8"), "bounces@example.org", "bounces+@x", "bounces+é-é@x"):
        with pytest.raises(Forged):
            reader_of_bounce(KEY, LIST, wrong)


def test_the_key_comes_from_a_file_that_only_its_owner_reads(tmp_path, monkeypatch):
    path = tmp_path / "key"
    path.write_text("k" * 40 + "\n")
    monkeypatch.setenv("ADVISOR_MAIL_KEY_FILE", str(path))
    path.chmod(0o644)
    with pytest.raises(BadInput, match="can be read by others"):
        key_from_environment()
    path.chmod(0o600)
    assert key_from_environment() == b"k" * 40
    path.write_text("short")
    with pytest.raises(BadInput, match="too short"):
        key_from_environment()
    monkeypatch.delenv("ADVISOR_MAIL_KEY_FILE")
    monkeypatch.delenv("ADVISOR_MAIL_KEY", raising=False)
    with pytest.raises(BadInput, match="is empty"):
        key_from_environment()
