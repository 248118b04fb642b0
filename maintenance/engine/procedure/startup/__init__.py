"""The spring list: what autumn opened is shut, and the water is let back in slowly."""
