"""Letters by a provider's web interface: the extra's own way, to a fake one here."""

import json
import threading
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest
from anymail.backends.postmark import EmailBackend

from maintenance.engine.reminding.letters import Letter
from maintenance.exchange.delivery.mail import MailChannel, message_id
from tests.ports import free_port

SENDER = "Office <office@example.org>"
LETTER = Letter(
    "o1:7:email:r1", "ada@example.org", "Ada, Byron", "Due", "Text", "https://x/stop/t/"
)
TAKEN = {"ErrorCode": 0, "Message": "OK", "MessageID": "m1", "To": "ada@example.org"}
INACTIVE = {
    "ErrorCode": 406,
    # the library reads who was refused from these words
    "Message": "inactive addresses: ada@example.org. Inactive recipients are told so.",
}


@pytest.fixture
def answering():
    """Return a way to a provider that answers once so, or hangs up on 0."""
    servers = []
    came = []

    def start(status, body):
        class Handler(BaseHTTPRequestHandler):
            def do_POST(self):
                length = int(self.headers["Content-Length"])
                came.append(json.loads(self.rfile.read(length)))
                if not status:
                    self.close_connection = True
                    return
                text = json.dumps(body).encode()
                self.send_response(status)
                self.send_header("Content-Type", "application/json")
                self.send_header("Content-Length", str(len(text)))
                self.end_headers()
                self.wfile.write(text)

            def log_message(self, *_args):
                pass

        server = HTTPServer(("127.0.0.1", 0), Handler)
        server.came = came  # type: ignore[attr-defined]
        threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
        servers.append(server)
        return server

    yield start
    for each in servers:
        each.shutdown()
        each.server_close()


def delivered(port):
    connect = lambda: EmailBackend(  # noqa: E731
        server_token="t", api_url=f"http://127.0.0.1:{port}/"
    )
    return MailChannel(SENDER, connect).deliver(LETTER)


def test_a_letter_that_is_taken_carries_its_id(answering):
    server = answering(200, TAKEN)
    assert delivered(server.server_port).kind == "accepted"
    (sent,) = server.came
    headers = {each["Name"]: each["Value"] for each in sent["Headers"]}
    assert headers["Message-ID"] == message_id(LETTER.key, SENDER)
    assert sent["To"] == '"Ada, Byron" <ada@example.org>'


@pytest.mark.parametrize(
    ("status", "body", "kind"),
    [
        (401, {"ErrorCode": 10, "Message": "Bad token"}, "refused"),
        (422, {"ErrorCode": 300, "Message": "Invalid From"}, "refused"),
        (422, INACTIVE, "refused_for_good"),
        (429, {"ErrorCode": 429, "Message": "Slow down"}, "refused"),
        (500, {"ErrorCode": 100, "Message": "Maintenance"}, "unknown"),
        (503, {"ErrorCode": 100, "Message": "Maintenance"}, "refused"),
        (0, {}, "unknown"),
    ],
)
def test_an_answer_is_sure_and_a_silence_is_not(status, body, kind, answering):
    outcome = delivered(answering(status, body).server_port)
    assert outcome.kind == kind
    assert outcome.error
    assert "\n" not in outcome.error


def test_a_provider_that_is_never_reached_took_nothing():
    outcome = delivered(free_port())
    assert outcome.kind == "refused"
