"""Signed requests: the standard's own example, only public addresses, no redirects."""

import base64
import hashlib
import hmac
import json
import threading
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.reminding.letters import HookCall
from maintenance.exchange.delivery.public_address import (
    check_url,
    find_target,
    is_public,
)
from maintenance.exchange.delivery.signature import new_secret, sign
from maintenance.exchange.delivery.webhook import WebhookChannel

NOW = datetime(2027, 3, 1, tzinfo=UTC)
SECRET = "whsec_c2VjcmV0"


def test_the_signature_is_that_of_the_standard_s_example():
    # Example of the Standard Webhooks specification 1.0.0 and of its libraries' tests
    # (from memory; a wrong one could not agree).
    made = sign(
        key="msg_p5jXN8AQM9LWM0D4loKWxJek",
        timestamp=1614265330,
        body='{"test": 2432232314}',
        secret="whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw",
    )
    assert made == "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="


def test_a_new_secret_has_256_bits_and_its_prefix():
    first, second = new_secret(), new_secret()
    assert first != second
    assert len(base64.b64decode(first.removeprefix("whsec_"))) == 32


def test_a_secret_that_cannot_be_read_is_refused():
    with pytest.raises(InputError, match="new one"):
        sign(key="k", timestamp=1, body="", secret="whsec_%%%")


@pytest.mark.parametrize(
    "address",
    [
        "127.0.0.1",
        "127.9.9.9",
        "10.1.2.3",
        "172.16.0.1",
        "192.168.1.1",
        "0.0.0.0",
        "169.254.169.254",
        "100.64.0.1",
        "224.0.0.1",
        "255.255.255.255",
        "192.0.2.1",
        "::1",
        "::",
        "fe80::1",
        "fe80::1%eth0",
        "fc00::1",
        "ff02::1",
        "::ffff:127.0.0.1",
        "::ffff:10.0.0.1",
        "64:ff9b::7f00:1",
        "2002:7f00:1::",
        "2001:db8::1",
        "no address",
    ],
)
def test_private_addresses_are_not_public(address):
    assert not is_public(address)


@pytest.mark.parametrize("address", ["93.184.216.34", "2606:2800:220:1::1"])
def test_public_addresses_are(address):
    assert is_public(address)


@pytest.mark.parametrize(
    "url",
    [
        "http://example.org/",
        "ftp://example.org/",
        "https://",
        "https:///path",
        "https://a:b@example.org/",
        "https://example.org/a b",
        "https://example.org:x/",
        "https://example.org/\n",
        "javascript:alert(1)",
        "",
    ],
)
def test_what_is_no_address_of_the_web_is_refused(url):
    with pytest.raises(InputError):
        check_url(url)


@pytest.mark.parametrize("answers", [["127.0.0.1"], ["93.184.216.34", "10.0.0.1"], []])
def test_a_name_that_leads_to_a_private_address_is_refused(answers):
    with pytest.raises(InputError, match="not public"):
        find_target("https://example.org/x", resolve=lambda _host, _port: answers)


@pytest.mark.parametrize(
    "url",
    [
        "https://127.0.0.1/",
        "https://[::1]/",
        "https://2130706433/",
        "https://0x7f.1/",
        "https://localhost/",
    ],
)
def test_spellings_of_this_machine_are_refused(url):
    outcome = WebhookChannel(lambda: NOW).deliver(HookCall("k", url, "whsec_YQ==", ""))
    assert outcome.kind in {"refused_for_good", "refused"}
    assert "not public" in outcome.error or "not found" in outcome.error


class Listening(HTTPServer):
    def __init__(self):
        super().__init__(("127.0.0.1", 0), Receiver)
        self.got: list[tuple[str, dict[str, str], bytes]] = []
        self.answers: list[int] = []


class Receiver(BaseHTTPRequestHandler):
    server: Listening

    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.server.got.append((self.path, dict(self.headers), body))
        status = self.server.answers.pop(0) if self.server.answers else 200
        if status == 0:
            return  # take it and say nothing
        self.send_response(status)
        if status == 302:
            self.send_header(
                "Location", f"http://127.0.0.1:{self.server.server_port}/x"
            )
        self.send_header("Content-Length", "0")
        self.end_headers()

    def log_message(self, *_args):
        pass


@pytest.fixture
def receiver():
    server = Listening()
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield server
    server.shutdown()
    server.server_close()
    thread.join()


def deliver(server, **allowed):
    url = f"http://hooks.example.org:{server.server_port}/due?a=1"
    looked_up = []

    def resolve(host, _port):
        looked_up.append(host)
        # At a second look the name would lead elsewhere.
        return ["127.0.0.1"] if len(looked_up) == 1 else ["10.0.0.1"]

    channel = WebhookChannel(
        lambda: NOW,
        resolve=resolve,
        schemes=("http",),
        **{"may_reach": lambda address: address == "127.0.0.1", **allowed},
    )
    outcome = channel.deliver(HookCall("o1:7:webhook:w1", url, SECRET, '{"a": 1}'))
    return outcome, looked_up


def test_a_request_is_signed_and_goes_to_the_address_that_was_looked_at(receiver):
    outcome, looked_up = deliver(receiver)
    assert outcome.kind == "accepted"
    assert looked_up == ["hooks.example.org"], "the name is looked up once"
    ((path, headers, body),) = receiver.got
    assert path == "/due?a=1"
    assert headers["Host"] == f"hooks.example.org:{receiver.server_port}"
    assert json.loads(body) == {"a": 1}
    signed = f"{headers['webhook-id']}.{headers['webhook-timestamp']}.{body.decode()}"
    made = hmac.new(b"secret", signed.encode(), hashlib.sha256).digest()
    assert headers["webhook-signature"] == f"v1,{base64.b64encode(made).decode()}"
    assert headers["webhook-id"] == "o1:7:webhook:w1"


@pytest.mark.parametrize(
    ("status", "kind"),
    [
        (204, "accepted"),
        (302, "refused_for_good"),
        (400, "refused"),
        (410, "refused_for_good"),
        (429, "refused"),
        (500, "refused"),
        (0, "unknown"),
    ],
)
def test_each_answer_has_its_outcome_and_no_redirect_is_followed(
    receiver, status, kind
):
    receiver.answers = [status]
    outcome, _ = deliver(receiver)
    assert outcome.kind == kind
    assert len(receiver.got) == 1


def test_a_private_address_gets_no_request_at_all(receiver):
    outcome, _ = deliver(receiver, may_reach=is_public)
    assert outcome.kind == "refused_for_good"
    assert receiver.got == []


def test_an_address_where_nobody_listens_is_a_refusal(receiver):
    receiver.shutdown()
    receiver.server_close()
    assert deliver(receiver)[0].kind == "refused"
