;; A heats policy that never comes back: out-of-fuel, and the host lays out the plain plan.
(func (export "classwright:policy/heats-rule@1.0.0#plan-heats") (param i32) (result i32)
  (loop $again (br $again))
  unreachable)
