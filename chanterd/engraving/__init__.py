"""Staff notation and printed sheets: drills written as MusicXML, engraved as SVG, laid out as pages."""
