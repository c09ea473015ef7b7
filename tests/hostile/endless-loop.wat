;; Never comes back from `scale`. Stopped when its fuel is used up: out-of-fuel.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (loop $again (br $again))
  unreachable)
