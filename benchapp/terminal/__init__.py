"""The guided make without a display: a live panel on a terminal, plain lines where the output is piped."""
