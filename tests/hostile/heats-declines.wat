;; A heats policy that says why there is no plan: declined, with the sentence, and the host lays out the plain plan.
(func (export "classwright:policy/heats-rule@1.0.0#plan-heats") (param i32) (result i32)
  (i32.const 1024))
(data (i32.const 1024) "\01\00\00\00" "\00\09\00\00" "\22\00\00\00")
(data (i32.const 2304) "Two lanes are asked for, not there")
