"""Where obligations come from: one module for each kind of thing that can be due."""
