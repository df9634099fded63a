"""Holds answers against static/openapi.yaml: the status must be one that the operation declares,
the body must fit its schema, and a problem must be RFC 9457.

Every answer that any test gets goes through check(). So that large answers do not take over the
run, bodies of one operation and status are validated the first times and then one in ten.
"""

import functools
import os
import re

import jsonschema
import yaml

HERE = os.path.dirname(os.path.abspath(__file__))
FILE = os.path.join(HERE, "..", "..", "static", "openapi.yaml")
METHODS = ("get", "put", "post", "delete")
# What `default` stands for, as its description says.
ANYWHERE = {400, 401, 403, 411, 413, 415, 500, 503}
ALWAYS_VALIDATED = 15

seen = {}  # (operationId, status) -> how often it was answered


@functools.lru_cache(maxsize=None)
def document():
    with open(FILE) as text:
        return yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))


def resolve(node):
    """Follows a $ref of the document, as far as it goes."""
    while "$ref" in node and node["$ref"].startswith("#/"):
        target = document()
        for step in node["$ref"][2:].split("/"):
            target = target[step]
        node = target
    return node


@functools.lru_cache(maxsize=None)
def operations():
    """(METHOD, path template) -> operation."""
    return {(method.upper(), path): item[method]
            for path, item in document()["paths"].items() for method in METHODS if method in item}


@functools.lru_cache(maxsize=None)
def patterns():
    """Path templates as expressions; those with the fewest parameters first."""
    found = []
    for path in document()["paths"]:
        expression = re.sub(r"\{\w+\}", "[^/]+", path)
        found.append((path.count("{"), re.compile(expression + "$"), path))
    return sorted(found, key=lambda entry: entry[0])


def template_of(method, path):
    """The template that a path fits and that has the method; else the first that it fits."""
    fitting = [template for _, pattern, template in patterns() if pattern.match(path)]
    for template in fitting:
        if (method, template) in operations():
            return template
    return fitting[0] if fitting else None


@functools.lru_cache(maxsize=None)
def validator(name):
    """A validator of one of the document's schemas, by its name."""
    resolver = jsonschema.RefResolver("", document())
    schema = {"$ref": f"#/components/schemas/{name}"}
    return jsonschema.Draft202012Validator(schema, resolver=resolver)


def faults(name, value):
    """What is wrong with a value, as short sentences."""
    errors = sorted(validator(name).iter_errors(value), key=lambda error: list(error.absolute_path))
    return [f"/{'/'.join(map(str, error.absolute_path))}: {error.message[:300]}" for error in errors]


def schema_name(response, media_type):
    """The name of the schema of a response, None when it has no body."""
    content = response.get("content", {}).get(media_type)
    return content["schema"]["$ref"].rsplit("/", 1)[1] if content else None


def body_schema(method, template):
    """The name of the schema of a request's body, None when there is none by name."""
    body = resolve(operations()[method, template].get("requestBody", {}))
    if not body:
        return None
    schema = body["content"]["application/json"]["schema"]
    return schema["$ref"].rsplit("/", 1)[1] if "$ref" in schema else None


def _declared(operation, status):
    responses = operation["responses"]
    if str(status) in responses:
        return resolve(responses[str(status)])
    assert status in ANYWHERE and "default" in responses, \
        f"{operation['operationId']} does not declare {status}"
    return resolve(responses["default"])


def _check_problem(answer):
    assert answer.headers["Content-Type"] == "application/problem+json", answer.headers
    if answer.body is None:
        return  # HEAD
    assert not faults("Problem", answer.body), faults("Problem", answer.body)
    assert answer.body["status"] == answer.status
    if answer.status == 503:
        assert int(answer.headers["Retry-After"]) > 0
    if answer.status == 401:
        assert answer.headers["WWW-Authenticate"].startswith("Bearer")


def check(method, path, answer):
    """Raises when an answer is not what the document says."""
    if not path.startswith("/api/"):
        return
    if answer.status >= 400:
        _check_problem(answer)
    template = template_of("GET" if method == "HEAD" else method, path)
    operation = operations().get(("GET" if method == "HEAD" else method, template))
    if operation is None:
        # What comes before the route is found, too, is answered by paths that are not there.
        assert answer.status in ({405} if template else {404}) | ANYWHERE, f"{method} {path}: {answer}"
        return
    response = _declared(operation, answer.status)
    if method == "HEAD":
        assert answer.text == ""
        return
    count = seen.get((operation["operationId"], answer.status), 0)
    seen[operation["operationId"], answer.status] = count + 1
    for name in response.get("headers", {}):
        if answer.status < 400:
            assert answer.headers.get(name), f"{method} {path}: no {name}"
    name = schema_name(response, (answer.headers.get("Content-Type") or "").split(";")[0])
    if name is None:
        assert not answer.text, f"{method} {path} says something that the contract does not: {answer}"
    elif answer.status < 400 and (count < ALWAYS_VALIDATED or count % 10 == 0):
        wrong = faults(name, answer.body)
        assert not wrong, f"{method} {path} does not fit {name}: {wrong[:5]}\n{answer}"
