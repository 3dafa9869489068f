/** Stands wherever a customs result shows. */
export const CUSTOMS_CAUTION =
  'Customs figures here are estimates for planning, worked out from published rules. Rules change, offices read ' +
  'them differently, and only the customs authority grants relief. This is not legal or tax advice. Before anything ' +
  'is packed or shipped, confirm status, dates, item list, rates and permits with the authority of the destination ' +
  'and of every country the goods cross, or with a licensed customs broker.'

/** Stands beside everything about keeping proof. */
export const PROOF_CAUTION =
  'Keep proof of purchase, of use and of residence with you, not in the container. Some approvals must be in hand ' +
  'before the goods leave.'

/** Stands beside hits of prohibited and restricted goods. */
export const RESTRICTED_CAUTION =
  'A list of restricted goods is never complete. No hit does not mean a thing may be brought in; goods that are ' +
  'found undeclared can be seized, treated or destroyed at the owner’s cost, and can hold up the whole container.'

/** Stands beside vehicles. */
export const VEHICLE_CAUTION =
  'Relief from duty does not make a vehicle fit to be registered: age, emissions, steering side and approval are ' +
  'separate rules. Ask the vehicle authority before shipping.'
