"""What any request can get wrong, whatever it asks for, and in which order it is told."""

import pytest

from bakehouse import INGREDIENTS
from harness import Client

SALT = INGREDIENTS["/ingredients/salt"]


def test_a_problem_has_the_members_of_rfc_9457(owner):
    answer = owner.get("/ingredients/gold")
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer["type"] == "about:blank"
    assert (answer["status"], answer["title"]) == (404, "Not Found")
    assert answer["detail"]


def test_nothing_answers_without_a_token(ask):
    for path in ("", "/ingredients", "/orders/1", "/no-such-thing"):
        answer = ask(None).get(path)
        assert answer.status == 401
        assert answer.headers["WWW-Authenticate"].startswith("Bearer")


@pytest.mark.parametrize("header", ["Bearer nonsense", "Bearer ", "Bearer", "Basic YTpi", "nonsense", "Bearer a b"])
def test_a_token_that_nobody_gave_out_is_401(ask, header):
    assert ask(None).get("/ingredients", Authorization=header).status == 401


def test_a_token_in_the_query_does_not_count(ask, databases):
    assert ask(None).get(f"/ingredients?token={databases.tokens['owner']}").status == 401


def test_an_unknown_path_is_404(owner):
    for path in ("/no-such-thing", "/ingredients/salt/price", "/orders/1/lines", "/days", "//ingredients"):
        assert owner.get(path).status == 404, path


@pytest.mark.parametrize("method, path, allowed", [
    ("DELETE", "/bakery", {"GET", "HEAD", "PUT"}),
    ("POST", "/ingredients/salt", {"GET", "HEAD", "PUT", "DELETE"}),
    ("PUT", "/orders", {"GET", "HEAD", "POST"}),
    ("PATCH", "/orders/1", {"GET", "HEAD", "PUT", "DELETE"}),
    ("PUT", "/days/2027-01-01/production", {"GET", "HEAD"}),
    ("GET", "/tokens/one", {"DELETE"}),
    ("GET", "/sessions", {"POST"}),
])
def test_a_wrong_method_is_405_and_says_which_are_right(owner, method, path, allowed):
    answer = owner.ask(method, path, b"{}" if method in ("PUT", "POST", "PATCH") else None)
    assert answer.status == 405, answer
    assert set(answer.headers["Allow"].replace(",", " ").split()) | {"HEAD"} == allowed | {"HEAD"}


@pytest.mark.parametrize("media_type", ["text/plain", "application/x-www-form-urlencoded", "application/jsonx",
                                        "application/merge-patch+json", None])
def test_a_body_of_another_media_type_is_415(owner, media_type):
    assert owner.put("/ingredients/salt", SALT, Content_Type=media_type).status == 415


@pytest.mark.parametrize("media_type", ["application/json", "application/json; charset=utf-8", "Application/JSON;charset=UTF-8"])
def test_json_may_name_its_charset(owner, media_type):
    assert owner.put("/ingredients/salt", SALT, Content_Type=media_type).status in (200, 201)


def test_a_post_without_key_is_400(owner):
    answer = owner.post("/orders", {}, Idempotency_Key=None)
    assert answer.status == 400
    assert "Idempotency-Key" in answer.text


@pytest.mark.parametrize("key", ["", "two words", "x" * 256, "caf\u00e9"])
def test_a_key_is_1_to_255_visible_ascii_characters(owner, key):
    assert owner.post("/orders", {}, Idempotency_Key=key).status == 400


def test_no_token_comes_before_everything_else(ask):
    assert ask(None).put("/ingredients/salt", b"x" * 70000, Content_Type="text/plain").status == 401
    assert ask(None).ask("PATCH", "/no-such-thing").status == 401


def test_a_large_body_comes_before_a_bad_token(ask):
    stranger = dict(Authorization="Bearer nonsense")
    assert ask(None).put("/ingredients/salt", b"x" * 70000, **stranger).status == 413
    assert ask(None).put("/ingredients/salt", b"{}", Content_Type="text/plain", **stranger).status == 415
    assert ask(None).put("/ingredients/salt", b"{", **stranger).status == 401


def test_a_bad_token_comes_before_an_unknown_path(ask):
    assert ask(None).get("/no-such-thing", Authorization="Bearer nonsense").status == 401


def test_the_role_comes_before_the_body(ask):
    assert ask("counter").put("/ingredients/salt", b"{").status == 403
    assert ask("baker").post("/tokens", b"{", Idempotency_Key=None).status == 403
    assert ask("counter").ask("DELETE", "/bakery").status == 405


def test_what_a_bakery_without_settings_cannot_reckon_is_409(owner):
    for path in ("/days/2027-01-01/production", "/days/2027-01-01/needs", "/days/2027-01-01/cost",
                 "/mixing-lists/2027-01-01", "/days/next"):
        assert owner.get(path).status == 409, path
    assert owner.post("/mixing-lists/2027-01-01/prints").status == 409
    assert owner.get("/bakery").status == 404


def test_head_answers_like_get_without_the_body(owner):
    got = owner.get("/ingredients")
    head = owner.ask("HEAD", "/ingredients")
    assert (head.status, head.text, head.etag) == (200, "", got.etag)
    assert head.headers["Content-Length"] == str(len(got.text.encode()))
    assert owner.ask("HEAD", "/ingredients/gold").status == 404


def test_nothing_of_the_api_may_be_kept_by_anybody_between(owner):
    cache = owner.get("/ingredients").headers["Cache-Control"]
    assert "no-store" in cache or "private" in cache or "no-cache" in cache


def test_the_page_and_the_contract_are_served_without_a_token(server):
    visitor = Client(server)
    page = visitor.raw("GET", "/")
    assert page.status == 200 and page.headers["Content-Type"].startswith("text/html")
    policy = page.headers["Content-Security-Policy"]
    assert "default-src" in policy and "unsafe-inline" not in policy and "unsafe-eval" not in policy
    assert visitor.raw("GET", "/openapi.yaml").text.startswith("openapi: 3.1")


@pytest.mark.parametrize("path", ["/../CMakeLists.txt", "/..%2fCMakeLists.txt", "/%2e%2e/CMakeLists.txt", "/static/../../CMakeLists.txt",
                                  "//etc/passwd", "/.git/config", "/index.html%00.css", "/openapi.yaml/x"])
def test_no_file_outside_the_folder_is_served(server, path):
    answer = Client(server).raw("GET", path)
    assert answer.status in (400, 404), answer
