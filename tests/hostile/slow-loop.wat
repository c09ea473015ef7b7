;; Counts down from 2^62: with all the fuel in the world it is the clock that stops it: past-deadline.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (local $left i64)
  (local.set $left (i64.const 4611686018427387904))
  (loop $again
    (local.set $left (i64.sub (local.get $left) (i64.const 1)))
    (br_if $again (i64.ne (local.get $left) (i64.const 0))))
  unreachable)
