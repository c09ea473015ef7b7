;; Does nothing wrong but to be built for another version of the contract: incompatible, naming both.
(func (export "classwright:policy/scaling-rule@1.0.0#scale") (param i32) (result i32)
  (i32.const 1024))
