"""Geometry and amounts in SI: pours, slopes, coverage, packages, crew, moist air; and units of people. Imports job."""
