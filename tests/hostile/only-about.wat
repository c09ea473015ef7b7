;; Says what it is and answers no question: incompatible.
