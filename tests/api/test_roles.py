"""Who may do what: the role that the contract names for every operation, against live answers."""

import re

import pytest

import contract

ROLES = ["counter", "baker", "owner"]
PARAMETERS = {"code": "no-such-code", "from": "2027-01-01", "id": "999999", "date": "2027-01-01",
              "number": "999", "name": "nobody", "product": "no-such-product", "formula": "no-such-formula", "batch": "999",
              "ingredient": "no-such-ingredient"}


def operations():
    return [(method, re.sub(r"\{(\w+)\}", lambda found: PARAMETERS[found.group(1)], path), operation["x-role"])
            for (method, path), operation in contract.operations().items()]


def harmless(client, method, path):
    """Asks in a way that changes nothing, whoever asks: an empty body lacks what is needed, what is
    to be deleted is not there, and no bakery is entered whose list could be printed."""
    if path.endswith("/sessions/current") and method == "DELETE":
        return client.ask(method, path)
    return client.ask(method, path, b"{}" if method in ("PUT", "POST") else None)


@pytest.mark.parametrize("method, path, least", operations())
def test_each_role_may_do_what_its_own_and_lower_ones_may(ask, method, path, least):
    for role in ROLES:
        status = harmless(ask(role), method, path).status
        if least != "none" and ROLES.index(role) < ROLES.index(least):
            assert status == 403, f"{role} gets {status}"
        else:
            assert status not in (401, 403, 405, 500), f"{role} gets {status}"


@pytest.mark.parametrize("method, path, least", operations())
def test_without_token_only_signing_in_is_heard(ask, method, path, least):
    status = harmless(ask(None), method, path).status
    assert (status == 401) == (least != "none")
