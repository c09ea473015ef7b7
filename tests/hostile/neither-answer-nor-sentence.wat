;; Answers with case 2 of a result, which has two: answer-malformed.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (i32.const 1024))
(data (i32.const 1024) "\02\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00" "\00\00\00\00")
