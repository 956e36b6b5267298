"""The sheet on paper, as far as that needs no fonts: what stands on a page, and a PDF's tags."""
