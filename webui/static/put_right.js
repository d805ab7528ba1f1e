"use strict";
// The figure that was tapped is typed over at once. A browser moves the focus nowhere by itself where an address has a mark.
{
  const field = document.getElementById("fix-text");
  if (field) {
    field.focus();
    field.select();
  }
}
