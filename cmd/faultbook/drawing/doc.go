// Package drawing makes the decision tree of a symptom something to carry on
// paper: it follows the policy of a call from the first question on, keeps
// the branches that most calls take, and draws them.
//
// # Words
//
// A step is a question to ask or a remedy to try; steps carry numbers in
// reading order. An end is where a call leaves the tree: cured, handed over,
// stopped for safety, or cut. A share is the part of all calls with this
// symptom, 0..1; the shares of all ends sum to one. A call is kept if it ends
// on the tree and cut if it does not.
//
// # How a tree is made
//
//	grow    the likeliest open state is planned next, as a call would plan it
//	twig    the states become a tree that can be shortened
//	prune   a branch is cut, or two branches are made alike
//	fit     the same goes on until the card fits one page, if that is wanted
//	word    indices become the book's own texts
//
// Branches that print alike are one branch: "a" or "b". Pruning takes again and
// again the move that costs the smallest share of calls for each printed line
// that it saves, which is weakest-link pruning (Breiman et al., Classification
// and Regression Trees, 1984, chapter 3, from memory) with calls in the place
// of errors and lines in the place of leaves. It stops before less than the
// wanted share would be kept; for one page it goes on, and Tree.Asked, Kept and
// Limit say what that took.
//
// A cut has a tail: up to six remedies to try in turn, without further
// questions, and the handover that is cheapest after them. So nobody stands
// with a card that ends in nothing. What tails cure, and what they hand over to
// who owns the cause, counts as cut all the same, but the tree says how much it is.
//
// A worked example: 100 calls, "is the lamp on?", 60 yes and 40 no. Yes leads
// to a remedy that helps 45 of the 60; no leads to a handover. With a share of
// 0.8 to keep the tree ends with 45 cured, 40 handed over and 15 cut.
//
// # Drawings
//
// Text is an indented outline, Markdown and HTML are numbered steps that refer
// to each other ("go to 7") and so read well line by line, SVG is a picture
// with the whole reading in its description. Every kind of step and end has
// its own word and, where there are shapes, its own shape; there is no colour
// with a meaning.
//
// # Limits
//
// At most MaxSteps states are planned, so a tree of a symptom with many causes
// may keep less than was asked for, and one page holds some twenty steps; the
// tree says so. Walks are in the plan but not in the tails. "Cannot tell" is no
// branch: the planner gives it no chance of its own.
package drawing
