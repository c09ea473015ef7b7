//! What the host counts, for whoever watches over it: in the text format of Prometheus.

use std::time::Duration;

use axum::http::Method;
use classwright_app::service::Service;
use metrics::{counter, gauge, histogram, with_local_recorder};
use metrics_exporter_prometheus::{Matcher, PrometheusBuilder, PrometheusRecorder};

/// The counts of one host.
pub(crate) struct Measures {
    recorder: PrometheusRecorder,
}

impl Measures {
    pub(crate) fn new() -> Measures {
        let bounds = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 30.0, 60.0, 120.0];
        let seconds = Matcher::Suffix("_seconds".into());
        let builder = PrometheusBuilder::new().set_buckets_for_metric(seconds, &bounds);
        let recorder = builder.unwrap_or_else(|_| PrometheusBuilder::new()).build_recorder();
        with_local_recorder(&recorder, describe);
        Measures { recorder }
    }

    /// Counts a call that was answered.
    pub(crate) fn call(&self, method: &Method, route: &str, status: u16, took: Duration) {
        // Whatever else somebody writes for a method is one, so that nobody makes labels without end.
        let method = match *method {
            Method::GET | Method::POST | Method::PUT | Method::PATCH | Method::DELETE | Method::HEAD => method.as_str(),
            _ => "other",
        };
        let labels = [("method", method.to_owned()), ("route", route.to_owned()), ("status", status.to_string())];
        with_local_recorder(&self.recorder, || {
            histogram!("classwright_calls_seconds", &labels).record(took.as_secs_f64());
        });
    }

    /// Everything that was counted, with how things are now.
    pub(crate) fn shown(&self, service: &Service) -> String {
        let pool = service.pool_state();
        let db = service.db_state();
        with_local_recorder(&self.recorder, || {
            gauge!("classwright_plans_running").set(f64::from(pool.running));
            gauge!("classwright_plans_waiting").set(f64::from(pool.waiting));
            gauge!("classwright_plans_places").set(f64::from(pool.places));
            gauge!("classwright_db_connections").set(f64::from(db.open));
            gauge!("classwright_db_connections_idle").set(f64::from(db.idle));
            for call in service.guest_calls() {
                let labels = [("digest", call.digest), ("call", call.call), ("outcome", call.outcome)];
                counter!("classwright_guest_calls_total", &labels).absolute(call.count);
            }
        });
        self.recorder.handle().render()
    }

    /// Takes in what was counted since, so that it does not pile up where nobody looks.
    pub(crate) fn tidy(&self) {
        self.recorder.handle().run_upkeep();
    }
}

fn describe() {
    use metrics::{describe_counter, describe_gauge, describe_histogram};
    describe_histogram!("classwright_calls_seconds", "Calls that were answered, by route and status.");
    describe_gauge!("classwright_plans_running", "Classes that are being planned.");
    describe_gauge!("classwright_plans_waiting", "Classes that wait to be planned.");
    describe_gauge!("classwright_plans_places", "Classes that may be planned at once.");
    describe_gauge!("classwright_db_connections", "Open connections to the data.");
    describe_gauge!("classwright_db_connections_idle", "Those that nobody uses.");
    describe_counter!("classwright_guest_calls_total", "Calls of policies, by component, what was called and outcome.");
}
