"""Generated drawings with known truth: words set from open fonts, drawn by an imagined hand, photographed."""
