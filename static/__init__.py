"""The pages and what they load: templates, style sheets, scripts. No Python but this line lives here."""
