"""What is measured: ports, line formats, scales, thermometers, pH meters. Knows no procedure."""
