"""The note as an HL7 FHIR R4B document: resources, the note's own words beside them, and the log they rest on."""
