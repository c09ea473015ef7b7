//! In which order policies are asked.

use classwright_store::db::shelf;
use serde_json::json;

use super::ShelvedDoc;
use crate::AppError;
use crate::plan_class::nearest;
use crate::service::{Page, Service, Stored, Who};

impl Service {
    /// Puts the shelf into an order: every policy on it, each once.
    pub async fn order_policies(&self, who: &Who, order: &[String]) -> Result<Page<Stored<ShelvedDoc>>, AppError> {
        let mut change = self.change(who).await?;
        let stands = shelf::whole(change.conn(), &who.gym).await?;
        let stands: Vec<&str> = stands.iter().map(|entry| entry.policy.as_str()).collect();
        let wrong = |problem: String| AppError::input("order", problem);
        for (at, name) in order.iter().enumerate() {
            if !stands.contains(&name.as_str()) {
                let nearest = nearest(name, stands.iter().copied());
                return Err(AppError::NoSuch { what: "policy", id: name.clone(), nearest });
            }
            if order[..at].contains(name) {
                return Err(wrong(format!("names `{name}` twice; name each policy once")));
            }
        }
        let left_out: Vec<&str> = stands.iter().copied().filter(|name| !order.iter().any(|own| own == name)).collect();
        if !left_out.is_empty() {
            return Err(wrong(format!("leaves out {}; name every policy on the shelf", left_out.join(", "))));
        }
        if order != stands {
            shelf::order(&mut change, order).await?;
            change.note("policies.ordered", "shelf", json!({ "order": order })).await?;
            change.commit().await?;
        }
        self.policies(who).await
    }
}
