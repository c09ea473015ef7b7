;; Says in a sentence why it does not answer: declined, with the sentence.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (i32.const 1024))
(data (i32.const 1024) "\01\00\00\00" "\00\09\00\00" "\29\00\00\00")
(data (i32.const 2304) "Nobody has told me what a light day means")
