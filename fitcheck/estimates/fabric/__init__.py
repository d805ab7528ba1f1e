"""One model of a fabric: swatches, dial, finishing and pieces together."""
