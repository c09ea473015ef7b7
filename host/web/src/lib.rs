//! The gym's service: its HTTP API, who may call it, and what keeps it running.
