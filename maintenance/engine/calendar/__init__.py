"""Dates at a site: anchors, business days, holidays, local instants, due windows."""
