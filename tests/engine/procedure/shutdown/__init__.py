"""Tests of the compiled shutdown."""
