;; A substitution policy that never comes back: out-of-fuel, and what scaling did stands.
(func (export "classwright:policy/substitution-rule@1.0.0#substitute") (param i32) (result i32)
  (loop $again (br $again))
  unreachable)
