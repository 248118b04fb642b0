"""The office pages: parse what comes in, call one service, answer with a page."""
