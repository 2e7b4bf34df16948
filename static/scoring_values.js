// One value of a score sheet: a fieldset with all its fields. What is said in it, as a form
// sends it: pairs of name and text.
const scoreValues = (() => {
  const isChoice = (field) => /radio|checkbox/.test(field.type);
  const isOn = (field) => !isChoice(field) || field.checked;
  const listFields = (group) => [...group.elements].filter((one) => one.name);
  const findKind = (group) => group.closest(".question").dataset.kind;
  const isOptional = (group) => "optional" in group.closest(".question").dataset;

  const read = (group) => listFields(group).filter(isOn).map((one) => [one.name, one.value]);

  function fill(group, parts) {
    for (const field of listFields(group)) {
      const texts = parts.filter(([name]) => name === field.name).map(([, text]) => text);
      if (isChoice(field)) field.checked = texts.includes(field.value);
      else if (field.type !== "hidden") field.value = texts.at(-1) ?? "";
    }
  }

  const listSaid = (group) => listFields(group)
    .filter((one) => one.type !== "hidden" && isOn(one) && one.value.trim());

  // "", "begun" or "whole".
  function judge(group) {
    const said = listSaid(group), kind = findKind(group);
    if (!said.length) return "";
    if (kind === "ranking") return said.length === group.querySelectorAll("select").length ? "whole" : "begun";
    if (kind !== "defect") return "whole";
    const told = Object.fromEntries(said.map((one) => [one.name.slice(group.dataset.field.length), one.value]));
    if (told[""] === "no") return "whole";
    const isNamed = told[".word"] && (told[".word"] !== "own" || told[".own"]);
    return told[""] && told[".intensity"] && isNamed ? "whole" : "begun";
  }

  // In the words of the sheet; a line has none.
  function tell(group) {
    if (findKind(group) === "line") return "";
    return listSaid(group).map((one) => {
      if (isChoice(one)) return one.closest("label").textContent.trim();
      return one.selectedOptions ? one.selectedOptions[0].textContent : one.value;
    }).join(", ");
  }

  return { read, fill, judge, tell, findKind, isOptional, listFields };
})();
