"""The screens: they paint what the session shows and pass on what is typed; no rule and no sum lives here."""
